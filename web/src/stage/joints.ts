import type { AxleState, PoseJoints, RidePose, Stage } from '$lib/api/types';
import type { Label } from './labels';
import { toVec } from './moving';
import { placement } from './shapes';

const near = 5; // °: less room than this is worth a look

/** What a joint is bent by, wherever the axle is. */
type JointState = Pick<PoseJoints, 'name' | 'gearbox_joint_deg' | 'axle_joint_deg' | 'joint_left_deg'>;

/** The angle of each drive shaft joint, and at the worse one how much is left of what it allows. */
export function jointWords(
  stage: Stage,
  axles: { front: AxleState; rear: AxleState },
  angle: (degrees: number) => string,
  posed: RidePose | null,
): Label[] {
  const out: Label[] = [];
  for (const shaft of stage.shafts) {
    const axle = axles[shaft.axle];
    const bends: readonly JointState[] = posed ? posed[shaft.axle].shafts : (axle.pose?.shafts ?? []);
    const state = bends.find((s) => s.name === shaft.name);
    if (!axle.present || !state) continue;
    const worse = state.gearbox_joint_deg >= state.axle_joint_deg ? 'gearbox' : 'axle';
    for (const end of ['gearbox', 'axle'] as const) {
      const at = toVec(end === 'gearbox' ? shaft.from_mm : shaft.to_mm);
      if (end === 'axle') at.applyMatrix4(placement(axle.origin_mm, axle.turn));
      const left = end === worse ? state.joint_left_deg : null;
      const bent = angle(end === 'gearbox' ? state.gearbox_joint_deg : state.axle_joint_deg);
      out.push({
        key: `joint ${shaft.name} ${end}`,
        text:
          left === null ? bent : left < 0 ? `stop: ${bent}, ${angle(-left)} too much` : `${bent}, ${angle(left)} left`,
        tone: left === null ? 'load' : left < 0 ? 'stop' : left < near ? 'watch' : 'mark',
        at,
      });
    }
  }
  return out;
}
