import { api, type Pull } from '$lib/api/client';
import { Problem } from '$lib/api/problem';
import type { AxleState, End, PullAnswer, Stage } from '$lib/api/types';

export interface Stop {
  why: string;
  side: 'left' | 'right';
}

export type Stops = Record<End, Stop | null>;

export interface Bumps {
  left: number;
  right: number;
}

const atRest = (): Bumps => ({ left: 0, right: 0 });

/**
 * Where the axles are. Wishes go to the program one at a time, always the newest; what is drawn is only ever a pose that the
 * program answered.
 */
export class Pose {
  #rig: string;
  #axles: { front: AxleState; rear: AxleState } | null = $state.raw(null);
  #wish = $state.raw<{ front: Bumps; rear: Bumps }>({ front: atRest(), rear: atRest() });
  #stopped = $state.raw<Stops>({ front: null, rear: null });
  #problem = $state('');
  #flying = false;
  // eslint-disable-next-line svelte/prefer-svelte-reactivity -- nothing is drawn from it
  #next = new Map<End, Pull>(); // the newest wish of each axle
  #serial = 0; // a new stage makes answers still under way meaningless

  constructor(rig: string) {
    this.#rig = rig;
  }

  get axles(): { front: AxleState; rear: AxleState } | null {
    return this.#axles;
  }
  get wish(): { front: Bumps; rear: Bumps } {
    return this.#wish;
  }
  /** What stopped each axle on its way, with the wheel that was pulled further. */
  get stopped(): Stops {
    return this.#stopped;
  }
  get problem(): string {
    return this.#problem;
  }
  get atRest(): boolean {
    const { front, rear } = this.#wish;
    return front.left === 0 && front.right === 0 && rear.left === 0 && rear.right === 0;
  }

  /** Takes a new stage: its axles at the design pose, then again where they were pulled to. */
  settle(stage: Stage): void {
    this.#serial++;
    this.#next.clear();
    this.#axles = stage.axles;
    this.#stopped = { front: null, rear: null };
    this.#problem = '';
    for (const end of ['front', 'rear'] as const) {
      const { left, right } = this.#wish[end];
      if (!stage.axles[end].present) this.#wish = { ...this.#wish, [end]: atRest() };
      else if (left !== 0 || right !== 0) this.pull(end, left, right);
    }
  }

  /** Asks for wheel bumps of one axle, mm against the design pose. */
  pull(axle: End, left: number, right: number): void {
    this.#wish = { ...this.#wish, [axle]: { left, right } };
    this.#next.set(axle, { axle, left, right });
    if (!this.#flying) void this.#send();
  }

  /** Back to ride height, at once: the design pose needs no question. */
  rest(stage: Stage): void {
    this.#wish = { front: atRest(), rear: atRest() };
    this.settle(stage);
  }

  async #send(): Promise<void> {
    this.#flying = true;
    for (let pull = this.#newest(); pull; pull = this.#newest()) {
      const serial = this.#serial;
      try {
        const answer = await api.pull(this.#rig, pull);
        if (serial === this.#serial) this.#arrive(pull.axle, answer);
      } catch (e) {
        if (serial === this.#serial) this.#problem = e instanceof Problem ? e.sentence : String(e);
      }
    }
    this.#flying = false;
  }

  #newest(): Pull | undefined {
    const [first] = this.#next.values();
    if (first) this.#next.delete(first.axle);
    return first;
  }

  #arrive(axle: End, answer: PullAnswer): void {
    if (!this.#axles) return;
    this.#axles = { ...this.#axles, [axle]: answer.axle };
    const why = answer.stopped?.why || answer.axle.stopped_by;
    const { left, right } = this.#wish[axle];
    if (why || this.#stopped[axle]) {
      const stop: Stop = { why, side: Math.abs(right) > Math.abs(left) ? 'right' : 'left' };
      this.#stopped = { ...this.#stopped, [axle]: why ? stop : null };
    }
    this.#problem = '';
  }
}
