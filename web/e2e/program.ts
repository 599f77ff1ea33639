import { execFileSync, spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { test as base, expect, type Page } from '@playwright/test';

const program = (): string => {
  const p = process.env['LOWSLUNG_PROGRAM'];
  if (!p) throw new Error('LOWSLUNG_PROGRAM is not set: the global set-up did not run');
  return p;
};

export const examples = fileURLToPath(new URL('../../examples/', import.meta.url));

/** A program that serves a workshop of its own, which can be killed and started again on the same port. */
export class Program {
  readonly workshop = mkdtempSync(join(tmpdir(), 'lowslung-workshop-'));
  url = '';
  #child: ChildProcess | null = null;

  async start(...more: string[]): Promise<void> {
    const addr = this.url ? new URL(this.url).host : '127.0.0.1:0';
    const child = spawn(program(), ['serve', '--addr', addr, '--workshop', this.workshop, '--no-open', ...more], {
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    this.#child = child;
    this.url = await new Promise<string>((resolve, reject) => {
      let said = '';
      const read = (chunk: Buffer): void => {
        said += chunk.toString();
        const found = said.match(/listening on (?:http:\/\/)?([\d.]+:\d+)/);
        if (found) resolve(`http://${found[1]}`);
      };
      child.stdout?.on('data', read);
      child.stderr?.on('data', read);
      child.on('exit', (code) => reject(new Error(`the program ended with ${code}: ${said}`)));
    });
  }

  /** As a power cut would: no good-bye. */
  async kill(): Promise<void> {
    const child = this.#child;
    if (!child || child.exitCode !== null) return;
    const gone = new Promise((resolve) => child.once('exit', resolve));
    child.kill('SIGKILL');
    await gone;
  }

  async rigs(): Promise<{ id: string; file: string; revision: number }[]> {
    const answer = (await (await fetch(`${this.url}/api/rigs`)).json()) as {
      rigs: { id: string; file: string; revision: number }[];
    };
    return answer.rigs;
  }

  async id(file: string): Promise<string> {
    const rig = (await this.rigs()).find((r) => r.file === file);
    if (!rig) throw new Error(`${file} is not in the workshop`);
    return rig.id;
  }

  /** What the command line says, as JSON. */
  say<T>(...args: string[]): T {
    return JSON.parse(execFileSync(program(), args, { encoding: 'utf8', maxBuffer: 64 << 20 })) as T;
  }

  async end(): Promise<void> {
    await this.kill();
    rmSync(this.workshop, { recursive: true, force: true });
  }
}

/** Everything that the browser complained about; a test ends with none of it. */
const complaints = new WeakMap<Page, string[]>();

export const test = base.extend<{
  program: Program;
  bench: (file: string, word?: string, other?: string) => Promise<void>;
}>({
  // eslint-disable-next-line no-empty-pattern -- Playwright wants the pattern
  program: async ({}, use) => {
    const p = new Program();
    await p.start();
    await use(p);
    await p.end();
  },
  page: async ({ page }, use) => {
    const list: string[] = [];
    complaints.set(page, list);
    page.on('pageerror', (e) => list.push(String(e)));
    page.on('console', (m) => {
      // A server that is away or refuses a save is part of some tests; a policy that stops something never is.
      if (/Content Security Policy/i.test(m.text())) list.push(m.text());
    });
    await use(page);
    expect(list, 'the browser complained').toEqual([]);
  },
  bench: async ({ page, program }, use) => {
    await use(async (file, word = 'travel', other = '') => {
      const id = await program.id(file);
      const and = other ? `?with=${await program.id(other)}` : '';
      await page.goto(`${program.url}/#/rig/${id}/${word}${and}`);
      await expect(page.getByRole('status').filter({ hasText: /^Saved, revision/ })).toBeVisible();
    });
  },
});

export { expect };

/** Waits until the stage is drawn. */
export const stageReady = async (page: Page): Promise<void> => {
  await expect(page.getByText('Setting up the stage…')).toBeHidden();
};

/** A number as the page shows it: "−3.2 mm" is −3.2. */
export const numberIn = (text: string | null): number =>
  Number.parseFloat((text ?? '').replace('−', '-').replace('+', ''));
