import type { Corners, Tilting } from '$lib/api/types';
import type { Curve, Upright } from '$lib/components/Plot.svelte';
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
export function angleLines(t: Tilting): Upright[] {
  const out: Upright[] = [];
  const put = (x: number | null, text: string, tone: string, dash: number[]): void => {
    if (x !== null) out.push({ x, text: `${text} ${x.toFixed(1)}°`, tone, dash, key: true });
  };
  if (t.tip_deg === null || (t.first_light_deg !== null && t.tip_deg - t.first_light_deg > 0.05))
    put(t.first_light_deg, 'first light', 'ink', [2, 3]);
  put(t.tip_deg, 'tips', 'stop', []);
  put(t.locked_tip_deg, 'shocks locked', 'ink-2', [7, 4]);
  put(t.rigid_deg, 'rigid', 'ink-2', [2, 4]);
  return out.toSorted((a, b) => a.x - b.x);
}
