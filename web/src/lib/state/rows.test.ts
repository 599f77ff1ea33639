import { describe, expect, it } from 'vitest';
import type { Corners, Ride } from '$lib/api/types';
import { bearing, bearingWords, grounds, groundWords, inDegrees, rowAt, rowsOf, wheels, type Row } from './rows';

const loads = (front_left: number, front_right: number, rear_left: number, rear_right: number): Corners => ({
  front_left,
  front_right,
  rear_left,
  rear_right,
});
const four = loads(6, 7, 6, 7);

// The least of an answer that rows are read from.
const ride = {
  stance: { corner_loads_n: four, belly_n: 0 },
  tilt: {
    left_down: { sweep: [0, 1, 2.5].map((angle_deg) => ({ angle_deg, loads_n: four })) },
    right_down: { sweep: [] },
    nose_up: { sweep: [] },
    nose_down: { sweep: [] },
  },
  ramp: { sweep: [{ by_mm: 8, loads_n: four, belly_n: 1.5 }] },
  cross_axle: { front_left_up: { sweep: [{ by_mm: 4, loads_n: four, belly_n: 0 }] }, front_right_up: { sweep: [] } },
  torque: null,
  angles: { standing: { breakover_deg: 50, ridge: { apex_mm: [0, 60], front_mm: 90, rear_mm: -90 } } },
} as unknown as Ride;

describe('rows', () => {
  it('are those of the answer, whatever the rig stands on', () => {
    expect(rowsOf(ride, 'level').map((r) => r.by)).toEqual([0]);
    expect(rowsOf(ride, 'left_down').map((r) => r.by)).toEqual([0, 1, 2.5]);
    expect(rowsOf(ride, 'ramp')[0]).toMatchObject({ by: 8, belly: 1.5, pose: null });
    expect(rowsOf(ride, 'front_left_up')[0]?.by).toBe(4);
    expect(rowsOf(ride, 'held')).toEqual([]);
    expect(rowsOf(ride, 'ridge').map((r) => r.by)).toEqual([50]);
    for (const g of grounds) expect(rowsOf(null, g)).toEqual([]);
    for (const g of grounds) expect(rowsOf({ ...ride, stance: null }, g)).toEqual([]);
  });
  it('are found by the nearest place, and the last one beyond them', () => {
    const rows: Row[] = [0, 10, 20].map((by) => ({ by, loads: four, belly: 0, pose: null }));
    expect([-5, 4, 6, 19, 90].map((v) => rowAt(rows, v))).toEqual([0, 0, 1, 2, 2]);
  });
});

describe('how a wheel bears', () => {
  it('has a word for each', () => {
    const l = loads(20, 0.5, 0, 19.5); // a quarter of 40 is 10: light below 1.5, nothing below 0.1
    expect(wheels.map((w) => bearing(l, w.key))).toEqual(['carries', 'light', 'off', 'carries']);
    expect(bearingWords(l, (v) => `${v} N`)).toBe(
      'the front right wheel is light: 0.5 N, the rear left wheel carries nothing',
    );
    expect(bearingWords(four, String)).toBe('');
  });
});

it('the ground is said in words with its unit', () => {
  const mm = (v: number): string => `${v} mm`;
  expect(groundWords('level', 0, mm)).toBe('level ground');
  expect(groundWords('left_down', 20, mm)).toBe('left down, 20.0°');
  expect(groundWords('ramp', 140, mm)).toBe('left front wheel up a ramp, 140 mm');
  expect(grounds.filter(inDegrees)).toEqual(['ridge', 'left_down', 'right_down', 'nose_up', 'nose_down', 'held']);
});
