import type { Corners, End, Raised, Ride, RidePose } from '$lib/api/types';

/** What the rig can be stood on: level, over a ridge, a board that is tilted, a ramp, blocks, a slope held by the drive. */
export const grounds = [
  'level',
  'ridge',
  'left_down',
  'right_down',
  'nose_up',
  'nose_down',
  'ramp',
  'ramp_right',
  'front_left_up',
  'front_right_up',
  'held',
] as const;
export type Ground = (typeof grounds)[number];
/** Those on which it is stood step by step. */
export type Stepped = Exclude<Ground, 'level' | 'ridge'>;
export const isStepped = (g: Ground): g is Stepped => g !== 'level' && g !== 'ridge';
export type TiltWay = 'left_down' | 'right_down' | 'nose_up' | 'nose_down';

export const tiltWays = ['left_down', 'right_down', 'nose_up', 'nose_down'] as const;
export const isTilt = (g: Ground): g is TiltWay => (tiltWays as readonly Ground[]).includes(g);

/** One rest of the rig on one of them, whatever it is: by is ° of the board, slope or ridge, or mm along the ramp or of the blocks. */
export interface Row {
  by: number;
  loads: Corners;
  belly: number;
  pose: RidePose | null;
}

export const isRamp = (g: Ground): boolean => g === 'ramp' || g === 'ramp_right';

/** What the program answered about a ramp or blocks, rest by rest. */
export function raised(ride: Ride, ground: Ground): Raised[] {
  if (ground === 'ramp') return ride.ramp?.sweep ?? [];
  if (ground === 'ramp_right') return ride.ramp?.right?.sweep ?? [];
  if (ground === 'front_left_up' || ground === 'front_right_up') return ride.cross_axle?.[ground].sweep ?? [];
  return [];
}

/** The rests of one ground in the order in which they were reached; the page steps through them and works out none of its own. */
export function rowsOf(ride: Ride | null, ground: Ground): Row[] {
  if (!ride?.stance) return [];
  const posed = (p: { pose?: RidePose }): RidePose | null => p.pose ?? null;
  const level: Row = { by: 0, loads: ride.stance.corner_loads_n, belly: ride.stance.belly_n, pose: posed(ride.stance) };
  switch (ground) {
    case 'level':
      return [level];
    case 'ridge': // it stands as on level ground; the ridge is what would just touch belly and tyres
      return ride.angles?.standing.ridge ? [{ ...level, by: ride.angles.standing.breakover_deg }] : [];
    case 'ramp':
    case 'ramp_right':
    case 'front_left_up':
    case 'front_right_up':
      return raised(ride, ground).map((r) => ({ by: r.by_mm, loads: r.loads_n, belly: r.belly_n, pose: posed(r) }));
    case 'held':
      return (ride.torque?.sweep ?? []).map((h) => ({ by: h.slope_deg, loads: h.loads_n, belly: 0, pose: posed(h) }));
    default:
      return (ride.tilt?.[ground].sweep ?? []).map((l) => ({
        by: l.angle_deg,
        loads: l.loads_n,
        belly: 0,
        pose: posed(l),
      }));
  }
}

/** The row that is nearest to by; the last one when it lies beyond them. */
export function rowAt(rows: Row[], by: number): number {
  let best = 0;
  rows.forEach((r, i) => {
    if (Math.abs(r.by - by) < Math.abs((rows[best]?.by ?? 0) - by)) best = i;
  });
  return best;
}

export interface WheelName {
  key: keyof Corners;
  end: End;
  side: 'left' | 'right';
  name: string;
}

export const wheels: readonly WheelName[] = (['front', 'rear'] as const).flatMap((end) =>
  (['left', 'right'] as const).map((side): WheelName => ({ key: `${end}_${side}`, end, side, name: `${end} ${side}` })),
);

export type Bearing = 'carries' | 'light' | 'off';

/** Less than these shares of a quarter of all load, and a wheel is called light, or to carry nothing: words of this page, not mechanics. */
const lightShare = 0.15;
const offShare = 0.01;

/** How a wheel bears: a word for each. */
export function bearing(loads: Corners, key: keyof Corners): Bearing {
  const load = loads[key];
  const quarter = wheels.reduce((s, w) => s + loads[w.key], 0) / 4;
  if (load <= offShare * quarter) return 'off';
  return load < lightShare * quarter ? 'light' : 'carries';
}

/** What the wheels do that do not simply carry, in words; "" when all do. */
export function bearingWords(loads: Corners, say: (newton: number) => string): string {
  return wheels
    .map((w) => ({ w, how: bearing(loads, w.key) }))
    .filter((x) => x.how !== 'carries')
    .map(({ w, how }) =>
      how === 'off' ? `the ${w.name} wheel carries nothing` : `the ${w.name} wheel is light: ${say(loads[w.key])}`,
    )
    .join(', ');
}

export const groundName: Record<Ground, string> = {
  level: 'level ground',
  ridge: 'over the sharpest ridge it clears',
  left_down: 'left down',
  right_down: 'right down',
  nose_up: 'nose up',
  nose_down: 'nose down',
  ramp: 'left front wheel up a ramp',
  ramp_right: 'right front wheel up a ramp',
  front_left_up: 'front left and rear right on blocks',
  front_right_up: 'front right and rear left on blocks',
  held: 'nose up, held by its drive',
};

/** Whether the numbers of its rows are degrees; otherwise they are mm. */
export const inDegrees = (g: Ground): boolean => isTilt(g) || g === 'held' || g === 'ridge';

/** What the rig stands on, in words: "left side down, 20.0°". */
export function groundWords(ground: Ground, by: number, length: (mm: number) => string): string {
  if (ground === 'level') return groundName.level;
  return `${groundName[ground]}, ${inDegrees(ground) ? `${by.toFixed(1)}°` : length(by)}`;
}
