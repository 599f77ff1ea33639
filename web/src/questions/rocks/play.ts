import type { RocksFrame } from '$lib/api/types';
import type { Curve } from '$lib/components/Plot.svelte';

/** What a run can be plotted as. */
export const views = ['speed', 'torque', 'loads', 'current'] as const;
export type Kind = (typeof views)[number];

export interface Written {
  speed: (mps: number) => number;
  torque: (nmm: number) => number;
  force: (n: number) => number;
}

/** The curves of a run over its time; the other build's beside them, thin, as far as it goes. */
export function curvesOf(kind: Kind, frames: RocksFrame[], other: RocksFrame[], w: Written): Curve[] {
  const one = (
    label: string,
    tone: string,
    of: (f: RocksFrame) => number,
    more: Partial<Curve> = {},
    twin = true,
  ): Curve[] => {
    const list: Curve[] = [{ label, tone, values: frames.map(of), ...more }];
    if (twin && other.length)
      list.push({
        label: `other build, ${label}`,
        tone: 'ghost',
        width: 1,
        quiet: true,
        values: frames.map((_f, i) => (other[i] ? of(other[i]) : null)),
      });
    return list;
  };
  switch (kind) {
    case 'speed':
      return [
        ...one('chassis', 'front', (f) => w.speed(f.speed_m_per_s)),
        ...one('treads', 'rear', (f) => w.speed(f.tread_m_per_s), { dash: [6, 3] }, false),
        ...one('slides', 'stop', (f) => w.speed(f.slip_m_per_s), { width: 1.5 }, false),
      ];
    case 'torque':
      return one('at the wheels', 'rear', (f) => w.torque(f.torque_nmm));
    case 'current':
      return one('motor', 'rear', (f) => f.current_a);
    case 'loads':
      return [
        ...one('front left', 'front', (f) => w.force(f.front.left.load_n), {}, false),
        ...one('front right', 'front', (f) => w.force(f.front.right.load_n), { dash: [5, 4] }, false),
        ...one('rear left', 'rear', (f) => w.force(f.rear.left.load_n), {}, false),
        ...one('rear right', 'rear', (f) => w.force(f.rear.right.load_n), { dash: [5, 4] }, false),
        ...one('aground', 'stop', (f) => w.force(f.belly_n), { width: 1.5 }, false),
      ];
  }
}

/** The instant after ms of playing from an index; past the last one it stays there. */
export const playedTo = (from: number, ms: number, count: number): number =>
  Math.min(count - 1, from + Math.floor((ms / 1000) * 30));

/** What is under each wheel in words, for who cannot see the stage. */
export function frameWords(f: RocksFrame): string {
  const at = (name: string, w: { load_n: number; grip_used: number }): string =>
    w.load_n <= 0 ? `${name} in the air` : w.grip_used > 0.999 ? `${name} slides` : '';
  const list = [
    at('front left', f.front.left),
    at('front right', f.front.right),
    at('rear left', f.rear.left),
    at('rear right', f.rear.right),
    f.belly_n > 0 ? 'aground' : '',
  ].filter(Boolean);
  return list.length ? list.join(', ') : 'every wheel holds';
}
