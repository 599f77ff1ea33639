import { api } from '$lib/api/client';
import { Problem } from '$lib/api/problem';
import type { Clearance, GapAt } from '$lib/api/types';
import type { Pose } from './pose.svelte';

/** The clearance that was asked to be shown on the stage. Its two points are true in one pose only, so it is there only then. */
class Gap {
  #chosen = $state.raw<Clearance | null>(null);
  #all = $state(false);
  #list = $state.raw<GapAt[]>([]);
  #problem = $state('');
  #serial = 0;

  get chosen(): Clearance | null {
    return this.#chosen;
  }

  /** Everything near anything is wanted on the stage, with the axles wherever they are. */
  get all(): boolean {
    return this.#all;
  }
  set all(on: boolean) {
    this.#all = on;
    if (!on) this.#list = [];
  }
  get list(): GapAt[] {
    return this.#list;
  }
  get problem(): string {
    return this.#problem;
  }

  /** Asks for all gaps with the axles where they have got to; only the newest answer counts. */
  async look(rig: string, axles: Pose['axles']): Promise<void> {
    const serial = ++this.#serial;
    if (!axles) return;
    const at = (e: 'front' | 'rear') => ({ left: axles[e].left_bump_mm, right: axles[e].right_bump_mm });
    try {
      const list = await api.gaps(rig, { front: at('front'), rear: at('rear') });
      if (serial !== this.#serial || !this.#all) return;
      this.#list = list;
      this.#problem = '';
    } catch (e) {
      if (serial === this.#serial) this.#problem = e instanceof Problem ? e.sentence : String(e);
    }
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
