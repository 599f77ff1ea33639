import type { Mistake } from '$lib/api/types';

/** A pasted table taken apart for showing it: the program reads it again by itself, and judges it. */
export function cellsOf(text: string): string[][] {
  const lines = text.replace(/\r\n?/g, '\n').replace(/\n+$/, '').split('\n');
  const first = lines[headerRow(text)] ?? '';
  const separator = ['\t', ';', ','].toSorted((a, b) => first.split(b).length - first.split(a).length)[0] ?? '\t';
  return lines.map((line) => line.split(separator).map((cell) => cell.trim().replace(/^"|"$/g, '')));
}

/** The header and one row of each kind, to begin with in a spreadsheet. */
export const example = [
  ['axle', 'what', 'chassis x', 'chassis y', 'chassis z', 'axle x', 'axle y', 'axle z', 'pinion angle'],
  ['rear', 'wheel', '', '', '', '-152.5', '100', '-12', '6'],
  ['rear', 'lower', '-40', '28', '8', '-142', '46', '-17', ''],
  ['rear', 'upper', '-36', '25', '32', '-147', '22', '18', ''],
]
  .map((row) => row.join('\t'))
  .join('\n');

/** Where the header is: the first row that is neither empty nor a remark. */
export function headerRow(text: string): number {
  const lines = text.replace(/\r\n?/g, '\n').split('\n');
  return Math.max(
    0,
    lines.findIndex((l) => l.trim() !== '' && !l.trim().startsWith('#')),
  );
}

/** Mistakes by the row they are in, counted from 1. */
export function mistakesByRow(mistakes: Mistake[]): Map<number, Mistake[]> {
  const rows = new Map<number, Mistake[]>();
  for (const m of mistakes) rows.set(m.line ?? 1, [...(rows.get(m.line ?? 1) ?? []), m]);
  return rows;
}
