import { describe, expect, it } from 'vitest';
import type { RocksBlock, RocksFrame } from '$lib/api/types';
import { endWords, isSlope, obstacles } from '$lib/state/obstacles';
import { follow, rounded } from '$stage/rocks';
import { curvesOf, frameWords, playedTo, views } from './play';

const wheel = (load: number, used = 0.5): RocksFrame['front']['left'] => ({
  load_n: load,
  grip_used: used,
  touch_mm: [],
  turn_deg: 0,
});
const frame = (t: number, speed: number): RocksFrame =>
  ({
    time_s: t,
    origin_mm: [10 * t, 3, 80],
    up: [0, 0, 1],
    speed_m_per_s: speed,
    tread_m_per_s: 2 * speed,
    slip_m_per_s: speed,
    torque_nmm: 100,
    current_a: 4,
    belly_n: 0,
    front: { left: wheel(5), right: wheel(0) },
    rear: { left: wheel(6, 1), right: wheel(7) },
  }) as unknown as RocksFrame;
const plain = { speed: (v: number): number => v, torque: (v: number): number => v, force: (v: number): number => v };

describe('curves of a run', () => {
  const frames = [frame(0, 0.1), frame(0.1, 0.2), frame(0.2, 0.3)];
  it('have a value for every instant, in shown units', () => {
    for (const kind of views)
      for (const c of curvesOf(kind, frames, [], plain)) expect(c.values).toHaveLength(frames.length);
    const [chassis, treads] = curvesOf('speed', frames, [], { ...plain, speed: (v) => 10 * v });
    expect(chassis?.values).toEqual([1, 2, 3]);
    expect(treads?.values).toEqual([2, 4, 6]);
  });
  it('have the other build beside them as far as it came', () => {
    const twin = curvesOf('speed', frames, [frame(0, 0.5)], plain).find((c) => c.quiet);
    expect(twin?.values).toEqual([0.5, null, null]);
    expect(curvesOf('loads', frames, [frame(0, 0.5)], plain).some((c) => c.quiet)).toBe(false);
  });
});

describe('words', () => {
  it('say what is in the air and what slides', () => {
    expect(frameWords(frame(0, 0))).toBe('front right in the air, rear left slides');
    const f = frame(0, 0);
    f.front.right = wheel(3);
    f.rear.left = wheel(3);
    expect(frameWords(f)).toBe('every wheel holds');
    f.belly_n = 2;
    expect(frameWords(f)).toBe('aground');
  });
  it('say how a run ended', () => {
    const at = (outcome: string, why: string): string => endWords({ outcome, why } as never);
    expect(at('through', '')).toBe('through');
    expect(at('stalled', 'no grip')).toBe('stalled: no grip');
    expect(at('rolled', 'left')).toBe('rolled onto its left side');
    expect(at('off the line', 'back')).toBe('slid back');
  });
});

it('plays thirty instants a second and stays at the last', () => {
  expect(playedTo(0, 1000, 100)).toBe(30);
  expect(playedTo(10, 500, 100)).toBe(25);
  expect(playedTo(90, 5000, 100)).toBe(99);
});

it('knows which sizes are slopes', () => {
  expect(obstacles.filter(isSlope)).toEqual(['climb', 'side slope', 'gully']);
});

describe('rock', () => {
  it('goes by under the rig', () => {
    const p = follow(frame(2, 0));
    expect([p.x, p.y, p.z]).toEqual([-20, -3, -12]);
  });
  it('of a rounded box keeps its size, and its corners are on the ball', () => {
    const b: RocksBlock = { at_mm: [0, 0, 0], size_mm: [40, 30, 20], turn: [], round_mm: 5 };
    const g = rounded(b);
    g.computeBoundingBox();
    const size = g.boundingBox?.max.toArray() ?? [];
    [20, 15, 10].forEach((v, i) => expect(size[i]).toBeCloseTo(v, 6));
    const at = g.getAttribute('position');
    let corner = 0;
    for (let i = 0; i < at.count; i++) corner = Math.max(corner, Math.hypot(at.getX(i), at.getY(i), at.getZ(i)));
    expect(corner).toBeLessThanOrEqual(Math.hypot(15, 10, 5) + 5 + 1e-6);
    expect(corner).toBeGreaterThan(Math.hypot(15, 10, 5) + 4.5);
  });
});
