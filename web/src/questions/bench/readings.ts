import type { BenchReading, BenchRow, BenchSheet } from '$lib/api/types';
import { yamlText } from '$lib/api/yaml';

/** Address of the bench sheet as a file; the revision makes it another one after a change. */
export function sheetUrl(rig: string, revision: number, query: Record<string, string>): string {
  const q = new URLSearchParams({ ...query, r: String(revision) });
  return `/api/rigs/${encodeURIComponent(rig)}/bench/sheet/paper?${q.toString()}`;
}

/** A bare number that was typed gets the unit that stands beside the field; a decimal comma is a point. */
export function typed(text: string, unit: string): string {
  const plain = text
    .trim()
    .replace('−', '-')
    .replace(/^([+-]?\d+),(\d+)/, '$1.$2');
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? `${plain} ${unit}`.trim() : plain;
}

/** A quantity as the document has it: plain where it is plainly one, in quotes otherwise, so that the program can say what is wrong with it. */
export const quantity = (text: string): string =>
  /^[+-]?(\d+\.?\d*|\.\d+) ?[A-Za-z°%/·]*$/.test(text) ? text : JSON.stringify(text);

/** A reading of one row of the sheet, as the document has it. */
export function readingOf(row: BenchRow, is: string): string {
  const parts = [`of: ${yamlText(row.of)}`];
  if (row.at) parts.push(`at: ${yamlText(row.at)}`);
  if (row.side) parts.push(`side: ${row.side}`);
  if (row.angle) parts.push(`angle: ${quantity(row.angle)}`);
  if (row.load) parts.push(`load: ${quantity(row.load)}`);
  if (row.volts) parts.push(`volts: ${quantity(row.volts)}`);
  parts.push(`is: ${quantity(typed(is, row.unit))}`);
  return `{${parts.join(', ')}}`;
}

/** A name that no reading of the document has yet. */
export function freeName(name: string, taken: readonly string[]): string {
  if (!taken.includes(name)) return name;
  for (let n = 2; ; n++) if (!taken.includes(`${name} ${n}`)) return `${name} ${n}`;
}

/** Rows of the sheet that the document has no reading of, by stage. */
export function open(sheet: BenchSheet): { title: string; rows: BenchRow[] }[] {
  return sheet.stages
    .map((s) => ({ title: s.title, rows: s.rows.filter((r) => r.taken === '') }))
    .filter((s) => s.rows.length > 0);
}

/** The file of a document of corrections: that of the rig, as measured, under a name that is free. */
export function measuredFile(file: string, taken: readonly string[]): string {
  const stem = file.replace(/\.rig\.yaml$/, '');
  for (let n = 1; ; n++) {
    const name = `${stem}-measured${n === 1 ? '' : `-${n}`}.rig.yaml`;
    if (!taken.includes(name)) return name;
  }
}

/** Where a ratio stands on a chart of the given half width: what is farther out stays at the edge. */
export function along(ratio: number, reach: number, half: number): { x: number; beyond: boolean } {
  const beyond = Math.abs(ratio) > reach;
  return { x: half + (half * Math.max(-reach, Math.min(reach, ratio))) / reach, beyond };
}

/** What a reading says of itself in a word. */
export function standing(r: BenchReading): string {
  if (!r.used) return r.why;
  return r.fits ? '' : 'does not fit the others';
}
