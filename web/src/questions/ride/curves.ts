import type { Corners, Tilting } from '$lib/api/types';
import type { Curve } from '$lib/components/Plot.svelte';
import { wheels, type Row } from '$lib/state/rows';

const close = (a: number, b: number): boolean => Math.abs(a - b) < 1e-6;

/** Every place of any of the lists once, in order. */
export function union(lists: number[][]): number[] {
  const all = lists.flat().toSorted((a, b) => a - b);
  return all.filter((v, i) => i === 0 || !close(v, all[i - 1] ?? Number.NaN));
}

/** The values of rows at x; null where there is no row. */
function at(x: number[], rows: Row[], key: keyof Corners, shown: (newton: number) => number): (number | null)[] {
  return x.map((v) => {
    const row = rows.find((r) => close(r.by, v));
    return row ? shown(row.loads[key]) : null;
  });
}

/** One curve for each wheel: front and rear by colour, right ones dashed. The other build's are thin and dotted. */
export function loadCurves(x: number[], mine: Row[], other: Row[], shown: (newton: number) => number): Curve[] {
  const list = wheels.map((w): Curve => ({
    label: w.name,
    tone: w.end,
    ...(w.side === 'right' ? { dash: [7, 4] } : {}),
    span: true,
    values: at(x, mine, w.key, shown),
  }));
  if (other.length === 0) return list;
  return [
    ...wheels.map((w): Curve => ({
      label: `other build, ${w.name}`,
      tone: 'ghost',
      dash: w.side === 'right' ? [2, 4] : [],
      width: 1.2,
      span: true,
      quiet: true,
      values: at(x, other, w.key, shown),
    })),
    ...list,
  ];
}

/** Where a way's angles take the rig, as lines of the plot, the first one first. */
export function angleLines(t: Tilting): { x: number; text: string; tone: string }[] {
  const out: { x: number; text: string; tone: string }[] = [];
  if (t.first_light_deg !== null && (t.tip_deg === null || t.tip_deg - t.first_light_deg > 0.05))
    out.push({ x: t.first_light_deg, text: `${t.first_light} light`, tone: 'watch' });
  if (t.tip_deg !== null) out.push({ x: t.tip_deg, text: 'tips', tone: 'stop' });
  if (t.locked_tip_deg !== null) out.push({ x: t.locked_tip_deg, text: 'shocks locked', tone: 'ink-2' });
  out.push({ x: t.rigid_deg, text: 'rigid', tone: 'ink-2' });
  return out.toSorted((a, b) => a.x - b.x);
}
