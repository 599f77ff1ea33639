import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Builds the program that the tests start; LOWSLUNG_PROGRAM names one that is built already. */
export default function build(): (() => void) | undefined {
  if (process.env['LOWSLUNG_PROGRAM']) return undefined;
  const folder = mkdtempSync(join(tmpdir(), 'lowslung-program-'));
  const program = join(folder, 'lowslung');
  execFileSync('go', ['build', '-o', program, './cmd/lowslung'], {
    cwd: fileURLToPath(new URL('../..', import.meta.url)),
    stdio: 'inherit',
  });
  process.env['LOWSLUNG_PROGRAM'] = program;
  return () => rmSync(folder, { recursive: true, force: true });
}
