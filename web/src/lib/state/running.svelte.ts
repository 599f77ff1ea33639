import { api } from '$lib/api/client';
import { Problem } from '$lib/api/problem';
import type { Rocks, RocksFrame, RocksRun } from '$lib/api/types';
import { isSlope } from './obstacles';
import { settings } from './settings.svelte';

/** What a run is made with, as typed; empty is the program's usual. */
export interface Wish {
  obstacle: string;
  size: string; // with its unit
  grip: string;
  speed: string;
  throttle: string;
  seed: string;
}

const failure = (e: unknown): Problem => (e instanceof Problem ? e : new Problem(-1, 'The page failed', String(e)));

/** Runs over rock: the largest that is cleared of everything, and one run that the stage plays. The program drives; the page only shows. */
export class Running {
  #rig: string;
  #limits = $state.raw<Rocks | null>(null);
  #run = $state.raw<Rocks | null>(null);
  #problem = $state.raw<Problem | null>(null);
  #searching = $state(false);
  #driving = $state(false);
  #index = $state(0);
  #on = $state(false);
  #serial = { limits: 0, run: 0 };
  #stale = false;
  #against = { limits: '', run: '' }; // the other build that each was asked with

  constructor(rig: string) {
    this.#rig = rig;
  }

  get rig(): string {
    return this.#rig;
  }
  get limits(): Rocks | null {
    return this.#limits;
  }
  /** The answer with the run that is shown. */
  get run(): Rocks | null {
    return this.#run;
  }
  get problem(): Problem | null {
    return this.#problem;
  }
  get searching(): boolean {
    return this.#searching;
  }
  get driving(): boolean {
    return this.#driving;
  }
  get index(): number {
    return this.#index;
  }
  get frames(): RocksFrame[] {
    return this.#run?.run?.frames ?? [];
  }
  /** The stage shows the run. */
  get on(): boolean {
    return this.#on;
  }
  get frame(): RocksFrame | null {
    return (this.#on && this.frames[this.#index]) || null;
  }
  /** The other build's run over the same rock at the same time; its last instant when it ended sooner. */
  get otherFrame(): RocksFrame | null {
    const list = this.#run?.against?.run?.frames ?? [];
    return (this.#on && (list[this.#index] ?? list.at(-1))) || null;
  }
  get mine(): RocksRun | null {
    return this.#run?.run ?? null;
  }

  show(index: number): void {
    this.#index = Math.max(0, Math.min(index, this.frames.length - 1));
    this.#on = true;
  }
  enter(): void {
    this.#on = true;
    if (this.#stale) {
      this.#stale = false;
      this.#limits = this.#run = null;
    }
  }
  leave(): void {
    this.#on = false;
  }
  forgive(): void {
    this.#problem = null;
  }
  /** After a save: what was driven was another rig. */
  stale(): void {
    this.#serial.limits++;
    this.#serial.run++;
    this.#searching = this.#driving = false;
    if (this.#on) this.#limits = this.#run = null;
    else this.#stale = true;
  }

  /** Whether an answer is there, or on its way, for this build against that one. */
  has(what: 'limits' | 'run', against: string): boolean {
    const busy = what === 'limits' ? this.#searching : this.#driving;
    const got = what === 'limits' ? this.#limits : this.#run;
    return (busy || got !== null) && this.#against[what] === against;
  }

  async search(wish: Wish, against: string): Promise<void> {
    this.#against.limits = against;
    const mine = ++this.#serial.limits;
    this.#searching = true;
    try {
      const { grip, speed, throttle, seed } = wish;
      const got = await api.rocks(this.#rig, settings.units, { grip, speed, throttle, seed, against });
      if (mine === this.#serial.limits) {
        this.#limits = got;
        this.#problem = null;
      }
    } catch (e) {
      if (mine === this.#serial.limits) this.#problem = failure(e);
    } finally {
      if (mine === this.#serial.limits) this.#searching = false;
    }
  }

  /** One run; true when it was driven. What is refused leaves the run before as it is. */
  async drive(wish: Wish, against: string, map = ''): Promise<boolean> {
    this.#against.run = against;
    const mine = ++this.#serial.run;
    this.#driving = true;
    try {
      const { obstacle, size, grip, speed, throttle, seed } = wish;
      const got = map
        ? await api.rocksMap(this.#rig, settings.units, { map, grip, speed, throttle, against, frames: true })
        : await api.rocks(this.#rig, settings.units, {
            obstacle,
            [isSlope(obstacle) ? 'angle' : 'height']: size,
            grip,
            speed,
            throttle,
            seed,
            against,
            frames: true,
          });
      if (mine !== this.#serial.run) return false;
      this.#run = got;
      this.#index = 0;
      this.#problem = null;
      return true;
    } catch (e) {
      if (mine === this.#serial.run) this.#problem = failure(e);
      return false;
    } finally {
      if (mine === this.#serial.run) this.#driving = false;
    }
  }
}
