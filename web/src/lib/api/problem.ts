import type { Mistake } from './types';

/** What went wrong with a request, as the program says it; status 0 when nobody answered. */
export class Problem extends Error {
  constructor(
    readonly status: number,
    readonly title: string,
    readonly detail: string,
    readonly errors: Mistake[] = [],
    /** The revision that is saved now, when a save was refused because of it. */
    readonly revision: number | null = null,
  ) {
    super(detail || title);
  }

  /** Nobody is listening: the page keeps everything and tries again. */
  get away(): boolean {
    return this.status === 0;
  }

  /** Someone else saved in between. */
  get conflict(): boolean {
    return this.status === 412;
  }

  /** One sentence for a line beside the field. */
  get sentence(): string {
    return this.about('');
  }

  /** The same, for a change of one file: what it breaks in another file is said with that file's name. */
  about(file: string): string {
    const first = this.errors[0];
    if (!first) return this.detail || this.title;
    const more = this.errors.length > 1 ? ` (and ${this.errors.length - 1} more)` : '';
    return `${this.elsewhere(file) ? `${this.detail}: ` : ''}${first.message}${more}`;
  }

  /** Whether it is about another document than the one changed: one that builds on it. */
  elsewhere(file: string): boolean {
    return file !== '' && (this.detail.match(/[\w./-]+\.rig\.yaml/g) ?? []).some((named) => named !== file);
  }
}

export const away = (): Problem =>
  new Problem(0, 'The program does not answer', 'The program does not answer. What you typed is kept in this page.');

export function problemFrom(status: number, body: unknown): Problem {
  const b = (body ?? {}) as Record<string, unknown>;
  const errors = Array.isArray(b['errors']) ? (b['errors'] as Mistake[]) : [];
  const revision = typeof b['revision'] === 'number' ? b['revision'] : null;
  return new Problem(
    status,
    typeof b['title'] === 'string' ? b['title'] : 'Refused',
    typeof b['detail'] === 'string' ? b['detail'] : '',
    errors,
    revision,
  );
}
