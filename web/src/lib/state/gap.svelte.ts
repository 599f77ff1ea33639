import type { Clearance } from '$lib/api/types';
import type { Pose } from './pose.svelte';

/** The clearance that was asked to be shown on the stage. Its two points are true in one pose only, so it is there only then. */
class Gap {
  #chosen = $state.raw<Clearance | null>(null);

  get chosen(): Clearance | null {
    return this.#chosen;
  }

  /** Puts the axle where the two come nearest. */
  show(clearance: Clearance, pose: Pose): void {
    this.#chosen = clearance;
    const other = clearance.axle === 'front' ? 'rear' : 'front';
    if (pose.axles?.[other].present) pose.pull(other, 0, 0);
    pose.pull(clearance.axle, clearance.left_mm, clearance.right_mm);
  }

  hide(): void {
    this.#chosen = null;
  }

  /** What can be drawn with the axles asked to be where they are. */
  at(pose: Pose): Clearance | null {
    const c = this.#chosen;
    if (!c?.at_a_mm || !c.at_b_mm) return null;
    const { left, right } = pose.wish[c.axle];
    return Math.abs(left - c.left_mm) < 0.01 && Math.abs(right - c.right_mm) < 0.01 ? c : null;
  }
}

export const gap = new Gap();
