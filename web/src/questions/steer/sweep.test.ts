import { describe, expect, it } from 'vitest';
import type { Steer, SteerLock, SteerPoint } from '$lib/api/types';
import { idealOf, lockToLock, nearest } from './sweep';

const point = (servo: number, left: number, right: number, past = false): SteerPoint => ({
  servo_deg: servo,
  left_deg: left,
  right_deg: right,
  left_knuckle_deg: left,
  right_knuckle_deg: right,
  ideal_outer_deg: 10,
  ackermann_error_deg: 1,
  ackermann_pct: 50,
  turning_circle_mm: 1400,
  drag_transmission_deg: 80,
  horn_transmission_deg: 80,
  tie_transmission_deg: 80,
  servo_torque_n_mm: 300,
  past_stop: past,
});
const lock = (servo: number): SteerLock => ({
  servo_deg: servo,
  set_by: 'lock stop',
  inner_deg: 36,
  outer_deg: 32,
  left_knuckle_deg: 36,
  right_knuckle_deg: 32,
  ideal_outer_deg: 28,
  ackermann_error_deg: 4,
  ackermann_pct: 40,
  turning_circle_mm: 1300,
  transmission_deg: 50,
  weakest: 'tie rod',
  servo_share: 0.6,
  clearances: [],
});
const answer = (sweep: SteerPoint[]): Steer => ({
  kingpin: null,
  middle: null,
  locks: { left: lock(28), right: lock(-40), least_clearance_mm: null },
  sweep,
  missed: [],
  bumps: null,
  servo: null,
  findings: [],
});

describe('from lock to lock', () => {
  it('ends at the stops, not beyond, and gives the inner wheel the larger angle', () => {
    const list = lockToLock(
      answer([point(-42, -34, -37, true), point(0, 0, 0), point(28, 36, 32), point(30, 38, 34, true)]),
    );
    expect(list.map((p) => p.servo)).toEqual([-40, 0, 28]);
    expect(list[0]).toMatchObject({ left: -32, right: -36, stop: 'lock stop' });
    expect(list[2]).toMatchObject({ left: 36, right: 32, stop: 'lock stop' });
  });
  it('draws the relation for the outer wheel alone', () => {
    const [right, , left] = lockToLock(answer([point(0, 0, 0)]));
    expect(left && [idealOf(left, 'left'), idealOf(left, 'right')]).toEqual([null, 28]);
    expect(right && [idealOf(right, 'left'), idealOf(right, 'right')]).toEqual([-28, null]);
  });
  it('finds the place nearest to an angle', () => {
    expect(nearest(lockToLock(answer([point(0, 0, 0), point(10, 11, 10)])), 6)).toBe(2);
  });
});
