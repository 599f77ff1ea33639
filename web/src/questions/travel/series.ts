import type { AxlePose, End, Rates, Travel } from '$lib/api/types';
import type { Curve } from '$lib/components/Plot.svelte';
import { toShown, type System } from '$lib/units/units';

const ends: readonly End[] = ['front', 'rear'];
/** The front axle's curves are dashed, so that they differ without colour too. */
const dashOf = (e: End): { dash?: number[] } => (e === 'front' ? { dash: [7, 4] } : {});
const same = (a: number, b: number): boolean => Math.abs(a - b) < 1e-6;

/** The poses of one axle along heave (at no roll) or along roll (at ride height), in order. */
export function along(travel: Travel, end: End, over: 'heave' | 'roll'): AxlePose[] {
  const poses = travel.axles[end]?.poses ?? [];
  const [run, still] = over === 'heave' ? (['heave_mm', 'roll_deg'] as const) : (['roll_deg', 'heave_mm'] as const);
  return poses.filter((p) => same(p[still], 0)).toSorted((a, b) => a[run] - b[run]);
}

/** Every x that any axle has, in order: one axis for both. */
export function axis(lists: number[][]): number[] {
  const all = lists.flat().toSorted((a, b) => a - b);
  return all.filter((v, i) => i === 0 || !same(v, all[i - 1] ?? Number.NaN));
}

const pick = <T>(
  list: T[],
  x: number,
  of: (t: T) => number,
  value: (t: T) => number | null | undefined,
): number | null => {
  const hit = list.find((t) => same(of(t), x));
  return hit ? (value(hit) ?? null) : null;
};

/** Curves of a number of the poses; an axle without the number has no curve. */
export function poseSeries(
  travel: Travel,
  over: 'heave' | 'roll',
  x: number[],
  value: (p: AxlePose) => number | null,
): Curve[] {
  const key = over === 'heave' ? 'heave_mm' : 'roll_deg';
  return ends
    .filter((e) => travel.axles[e])
    .map((e) => ({
      label: e,
      tone: e,
      ...dashOf(e),
      values: x.map((v) => pick(along(travel, e, over), v, (p) => p[key], value)),
    }))
    .filter((s) => s.values.some((v) => v !== null));
}

/** Curves of a rate of motion over heave. */
export function rateSeries(
  travel: Travel,
  x: number[],
  value: (r: Rates, end: End) => number | null | undefined,
  label: (end: End) => string = (e) => e,
): Curve[] {
  return ends
    .filter((e) => travel.axles[e])
    .map((e) => ({
      label: label(e),
      tone: e,
      ...dashOf(e),
      values: x.map((v) =>
        pick(
          travel.axles[e]?.rates ?? [],
          v,
          (r) => r.heave_mm,
          (r) => value(r, e),
        ),
      ),
    }))
    .filter((s) => s.values.some((v) => v !== null));
}

/** Lengths of a curve in the units read. */
export const shownLengths = (series: Curve[], units: System): Curve[] =>
  series.map((s) => ({ ...s, values: s.values.map((v) => (v === null ? null : toShown(v, 'length', units))) }));

/** Wheel bumps that put an axle in a pose of the answer: wheel centres against those of the design pose. */
export function bumpsOf(travel: Travel, end: End, pose: AxlePose): { left: number; right: number } | null {
  const design = travel.axles[end]?.poses.find((p) => same(p.heave_mm, 0) && same(p.roll_deg, 0));
  if (pose.left_wheel_z_mm === null || pose.right_wheel_z_mm === null) return null;
  if (!design || design.left_wheel_z_mm === null || design.right_wheel_z_mm === null) return null;
  return {
    left: pose.left_wheel_z_mm - design.left_wheel_z_mm,
    right: pose.right_wheel_z_mm - design.right_wheel_z_mm,
  };
}
