import type { Steer } from '$lib/api/types';

/** The front wheels at one servo angle, as answered; ends of the travel carry what sets them. */
export interface Turned {
  servo: number;
  left: number;
  right: number;
  knuckles: { left: number; right: number }; // turns about the kingpins
  ideal: number | null; // of the outer wheel
  error: number | null;
  percent: number | null;
  circle: number | null;
  torque: number | null;
  stop: string;
}

const level = 0.5; // °: nearer to straight ahead there is no inner wheel to speak of

/** From lock to lock in order of the servo angle: the points of the sweep between the stops, and the locks themselves. */
export function lockToLock(answer: Steer): Turned[] {
  const between = answer.sweep
    .filter((p) => !p.past_stop)
    .map((p): Turned => ({
      servo: p.servo_deg,
      left: p.left_deg,
      right: p.right_deg,
      knuckles: { left: p.left_knuckle_deg, right: p.right_knuckle_deg },
      ideal: p.ideal_outer_deg,
      error: p.ackermann_error_deg,
      percent: p.ackermann_pct,
      circle: p.turning_circle_mm,
      torque: p.servo_torque_n_mm,
      stop: '',
    }));
  const ends = answer.locks
    ? (['left', 'right'] as const).map((side): Turned | null => {
        const l = answer.locks?.[side];
        if (!l) return null;
        const [left, right] = side === 'left' ? [l.inner_deg, l.outer_deg] : [-l.outer_deg, -l.inner_deg];
        return {
          servo: l.servo_deg,
          left,
          right,
          knuckles: { left: l.left_knuckle_deg, right: l.right_knuckle_deg },
          ideal: l.ideal_outer_deg,
          error: l.ackermann_error_deg,
          percent: l.ackermann_pct,
          circle: l.turning_circle_mm,
          torque: null,
          stop: l.set_by,
        };
      })
    : [];
  const all = [...between, ...ends.filter((e) => e !== null)].toSorted((a, b) => a.servo - b.servo);
  return all.filter(
    (p, i) => p.stop !== '' || !all.some((q, k) => k !== i && q.stop && Math.abs(q.servo - p.servo) < 0.05),
  );
}

/** What the Ackermann relation asks of the outer wheel, with the sign of the turn, on the side where it is the outer one. */
export function idealOf(p: Turned, side: 'left' | 'right'): number | null {
  const turn = (p.left + p.right) / 2;
  if (p.ideal === null || Math.abs(turn) < level) return null;
  const outer = turn > 0 ? 'right' : 'left';
  return outer === side ? Math.sign(turn) * p.ideal : null;
}

/** The place in the list that is nearest to a servo angle. */
export function nearest(list: Turned[], servo: number): number {
  let best = 0;
  list.forEach((p, i) => {
    if (Math.abs(p.servo - servo) < Math.abs((list[best]?.servo ?? 0) - servo)) best = i;
  });
  return best;
}
