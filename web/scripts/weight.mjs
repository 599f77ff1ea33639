// Weighs the built page: every file gzipped, and fails above the budget of the whole.
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';

const budget = 400_000; // bytes, gzip
const dist = fileURLToPath(new URL('../dist', import.meta.url));
let sum = 0;
for (const name of readdirSync(dist, { recursive: true }).sort()) {
  const file = join(dist, name);
  if (!statSync(file).isFile()) continue;
  const bytes = gzipSync(readFileSync(file), { level: 9 }).length;
  sum += bytes;
  console.log(`${(bytes / 1000).toFixed(1).padStart(8)} kB  ${relative(dist, file)}`);
}
console.log(`${(sum / 1000).toFixed(1).padStart(8)} kB  page weight, gzip (at most ${budget / 1000} kB)`);
if (sum > budget) {
  console.error(`The page weighs ${sum} bytes gzipped, more than ${budget}: load something later, or leave it out.`);
  process.exit(1);
}
