import { untrack } from 'svelte';
import { api } from '$lib/api/client';
import { Problem } from '$lib/api/problem';
import type { Ride } from '$lib/api/types';
import { rowAt, rowsOf, type Ground, type Row } from './rows';
import { settings } from './settings.svelte';

/** What stands on the stage: a ground, and which of its rests. */
export interface Shown {
  ground: Ground;
  index: number;
}

/**
 * How the rig stands on its springs, with a pose for every rest: asked for once, when somebody wants to see it, and again after
 * each save. The slider then only steps through what was answered.
 */
export class Sitting {
  #rig: string;
  #answer = $state.raw<Ride | null>(null);
  #problem = $state.raw<Problem | null>(null);
  #other = $state.raw<{ name: string; ride: Ride } | null>(null);
  #shown = $state.raw<Shown | null>(null);
  #ramp = $state('20');
  #wanted = 0; // how many look at it
  #serial = 0;

  constructor(rig: string) {
    this.#rig = rig;
  }

  get answer(): Ride | null {
    return this.#answer;
  }
  get problem(): Problem | null {
    return this.#problem;
  }
  /** The build that this one is held against. */
  get other(): { name: string; ride: Ride } | null {
    return this.#other;
  }
  /** What the stage shows instead of the pulled pose; null when it shows that. */
  get shown(): Shown | null {
    return this.#shown;
  }
  get rows(): Row[] {
    return this.#shown ? rowsOf(this.#answer, this.#shown.ground) : [];
  }
  get row(): Row | null {
    return (this.#shown && this.rows[this.#shown.index]) ?? null;
  }
  /** The other build on the same ground, as far as that goes. */
  get otherRow(): Row | null {
    const here = this.row;
    if (!here || !this.#shown || !this.#other) return null;
    const rows = rowsOf(this.#other.ride, this.#shown.ground);
    return rows[rowAt(rows, here.by)] ?? null;
  }
  /** Slope of the ramp, as typed. */
  get ramp(): string {
    return this.#ramp;
  }

  /** Somebody looks: the answer is fetched, and kept up to date until the returned function is called. */
  want(): () => void {
    this.#wanted++;
    // Whoever looks does not look anew because the answer has come.
    untrack(() => {
      if (!this.#answer) void this.ask();
    });
    return () => {
      this.#wanted--;
    };
  }

  /** After a save. */
  stale(): void {
    if (this.#wanted > 0 || this.#shown) void this.ask();
    else this.#answer = null;
  }

  /** True when it was answered. A ramp that is refused leaves everything as it was. */
  async ask(ramp = this.#ramp): Promise<boolean> {
    const mine = ++this.#serial;
    try {
      const got = await api.ride(this.#rig, settings.units, { step: '1', ramp, poses: true });
      if (mine !== this.#serial) return false;
      this.#answer = got;
      this.#problem = null;
      this.#ramp = ramp;
      const last = this.rows.length - 1;
      if (this.#shown && last < 0) this.#shown = { ground: 'level', index: 0 };
      else if (this.#shown && this.#shown.index > last) this.#shown = { ...this.#shown, index: last };
      return true;
    } catch (e) {
      if (mine === this.#serial)
        this.#problem = e instanceof Problem ? e : new Problem(-1, 'The page failed', String(e));
      return false;
    }
  }

  /** The problem has been said where it belongs. */
  forgive(): void {
    this.#problem = null;
  }

  setOther(other: { name: string; ride: Ride } | null): void {
    this.#other = other;
  }

  show(ground: Ground, index: number): void {
    this.#shown = { ground, index };
  }

  /** The stage goes back to the pulled pose. */
  leave(): void {
    this.#shown = null;
  }
}
