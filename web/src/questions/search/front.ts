import type { SearchAnswer, SearchBuild, SearchNumber } from '$lib/api/types';
import { fixed } from '$lib/units/units';

/** One build of the front as a point of the plot, in the numbers' own units. */
export interface Point {
  build: number;
  x: number;
  y: number;
}

export const numberOf = (list: SearchNumber[], name: string): SearchNumber | undefined =>
  list.find((n) => n.name === name);

/** Whether the builds differ in a number. */
export function differs(answer: SearchAnswer, name: string): boolean {
  const seen = new Set(answer.builds.map((b) => numberOf(b.numbers, name)?.text ?? ''));
  return seen.size > 1;
}

/** What a table of the builds is about: preferred numbers, then wanted ones, what the parts need, and others in which they differ. */
export function telling(answer: SearchAnswer): string[] {
  const preferred = answer.prefers.map((p) => p.name);
  const said = answer.wants.filter((w) => w.by !== 'parts');
  const all = [...preferred, ...said.map((w) => w.name), ...answer.wants.map((w) => w.name)];
  for (const b of answer.builds) all.push(...b.numbers.map((n) => n.name));
  const known = [...new Set(all)].filter((name) => answer.builds.some((b) => numberOf(b.numbers, name)));
  return known.filter((name) => preferred.includes(name) || differs(answer, name));
}

/** What a plot shows first: of the preferred numbers those two that tell most builds apart, in the order of their importance. */
export function axes(answer: SearchAnswer, names: string[]): string[] {
  const told = (name: string): number => new Set(answer.builds.map((b) => numberOf(b.numbers, name)?.text ?? '')).size;
  const preferred = names.filter((n) => answer.prefers.some((p) => p.name === n));
  const list = preferred.length > 1 ? preferred : names;
  const two = list.toSorted((a, b) => told(b) - told(a)).slice(0, 2);
  return list.filter((n) => two.includes(n));
}

/** The band of a number as read; empty when there is none. */
export const bandOf = (build: SearchBuild, name: string): string =>
  build.robust.find((b) => b.name === name)?.text.replace(/(^|\s)-/g, '$1−') ?? '';

/** The two ends of a band, each to stand on a line of its own: "310.6 to", "311.6 mm". */
export function ends(band: string): string[] {
  const [from = '', to] = band.split(' to ');
  if (to === undefined) return [band];
  const unit = / \S+$/.exec(to)?.[0] ?? '';
  return [`${unit && from.endsWith(unit) ? from.slice(0, -unit.length) : from} to`, to];
}

export function points(builds: SearchBuild[], x: string, y: string): Point[] {
  return builds.flatMap((b, build) => {
    const px = numberOf(b.numbers, x);
    const py = numberOf(b.numbers, y);
    return px && py ? [{ build, x: px.value, y: py.value }] : [];
  });
}

/** Round ticks about the values, three to six of them: steps of 1, 2 or 5 times a power of ten; whole numbers about whole values. */
export function ticks(values: number[]): number[] {
  const lo = Math.min(...values);
  const hi = Math.max(...values);
  if (!Number.isFinite(lo) || !Number.isFinite(hi)) return [];
  const span = hi - lo || Math.abs(hi) * 0.1 || 1;
  const raw = span / 4;
  const power = 10 ** Math.floor(Math.log10(raw));
  const even = power * ([1, 2, 5, 10].find((k) => k * power >= raw - 1e-12) ?? 10);
  const step = values.every(Number.isInteger) ? Math.max(1, even) : even; // there is no half a part
  const from = Math.floor((hi === lo ? lo - step : lo) / step + 1e-9);
  const to = Math.ceil((hi === lo ? hi + step : hi) / step - 1e-9);
  const out: number[] = [];
  for (let k = from; k <= to; k++) out.push(k * step);
  return out;
}

/** Where the names of points go, px: beside the point, left of it at the right edge, and only where no other name or point is covered. */
export function labels(
  spots: { build: number; x: number; y: number }[],
  first: number,
  right: number,
): Map<number, { x: number; y: number; left: boolean }> {
  const size = (build: number): number => 8 * String(build + 1).length;
  const boxes: { x: number; y: number; w: number; h: number }[] = [];
  const out = new Map<number, { x: number; y: number; left: boolean }>();
  const order = [...spots].sort((a, b) => Number(b.build === first) - Number(a.build === first) || a.build - b.build);
  for (const s of order) {
    const w = size(s.build);
    const left = s.x + 9 + w > right;
    const box = { x: left ? s.x - 9 - w : s.x + 9, y: s.y - 18, w, h: 12 };
    const covered = boxes.some(
      (b) => box.x < b.x + b.w && b.x < box.x + box.w && box.y < b.y + b.h && b.y < box.y + box.h,
    );
    const point = spots.some(
      (p) => p !== s && p.x + 6 > box.x && p.x - 6 < box.x + w && p.y + 6 > box.y && p.y - 6 < box.y + 12,
    );
    if ((covered || point) && s.build !== first) continue;
    boxes.push(box);
    out.set(s.build, { x: left ? s.x - 9 : s.x + 9, y: s.y - 8, left });
  }
  return out;
}

/** A tick as read. */
export function tickText(value: number, all: number[]): string {
  const step = Math.abs((all[1] ?? 1) - (all[0] ?? 0)) || 1;
  return fixed(value, step >= 1 ? 0 : Math.min(4, Math.ceil(-Math.log10(step) - 1e-9)));
}

/** Time left as a person says it. */
export function lasting(seconds: number): string {
  if (seconds < 1) return 'less than a second';
  if (seconds < 90) return `about ${Math.round(seconds)} s`;
  if (seconds < 5400) return `about ${Math.round(seconds / 60)} min`;
  return `about ${(seconds / 3600).toFixed(1)} h`;
}

/** Large counts with thin spaces: 1 234 567. */
export const count = (n: number): string =>
  Math.round(n)
    .toString()
    .replace(/\B(?=(\d{3})+$)/g, '\u202f');

/** A file name for a build that was found, not taken yet. */
export function fileFor(file: string, build: number, taken: string[]): string {
  const stem = file.replace(/\.rig\.yaml$/, '').replace(/-found-\d+$/, '');
  for (let k = build + 1; ; k++) {
    const name = `${stem}-found-${k}.rig.yaml`;
    if (!taken.includes(name)) return name;
  }
}
