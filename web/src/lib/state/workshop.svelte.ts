import { api } from '$lib/api/client';
import { listen } from '$lib/api/events';
import { Problem } from '$lib/api/problem';
import type { Channel, CompareAnswer, RigCard, Stage } from '$lib/api/types';
import { Build } from './build.svelte';
import { route } from './route.svelte';
import { searches } from './searches.svelte';
import { selection } from './selection.svelte';
import { settings } from './settings.svelte';

/** Everything the page has open: the list of rigs, the build on the bench, and the one it is compared with. */
class Workshop {
  #rigs = $state.raw<RigCard[] | null>(null);
  #channels = $state.raw<Channel[]>([]);
  #build = $state.raw<Build | null>(null);
  #other = $state.raw<{ id: string; stage: Stage | null } | null>(null);
  #compared = $state.raw<CompareAnswer | null>(null);
  #comparing = $state.raw<Problem | null>(null);
  #problem = $state.raw<Problem | null>(null);
  #away = $state(false);
  #later: ReturnType<typeof setTimeout> | undefined;

  get rigs(): RigCard[] | null {
    return this.#rigs;
  }
  get channels(): Channel[] {
    return this.#channels;
  }
  get build(): Build | null {
    return this.#build;
  }
  get otherStage(): Stage | null {
    return this.#other?.stage ?? null;
  }
  get compared(): CompareAnswer | null {
    return this.#compared;
  }
  get comparing(): Problem | null {
    return this.#comparing;
  }
  get problem(): Problem | null {
    return this.#problem;
  }
  get away(): boolean {
    return this.#away || (this.#build?.away ?? false);
  }

  /** Starts listening and reads the list. Call once. */
  start(): void {
    listen({
      saved: (rig, revision) => void this.#saved(rig, revision),
      answers: (rig) => void this.#answersOf(rig),
      removed: (rig) => {
        void this.readRigs();
        if (rig === route.place.rig) void this.#build?.load();
      },
      search: (run) => searches.heard(run),
      away: () => this.#lost(true),
      back: () => void this.#back(),
    });
    void this.readRigs();
    void this.#readChannels();
    void this.#readUnits();
  }

  async #readUnits(): Promise<void> {
    try {
      if (settings.offer((await api.workshop()).units)) await this.reword();
    } catch {
      // Metric, then, as everywhere else.
    }
  }

  async readRigs(): Promise<void> {
    try {
      this.#rigs = await api.rigs();
      this.#problem = null;
    } catch (e) {
      this.#problem = asProblem(e);
      if (this.#problem.away) this.#lost(true);
    }
  }

  /** Puts a build on the bench; the one already there stays as it is. */
  open(id: string): void {
    if (this.#build?.id === id) return;
    selection.clear();
    this.#compared = null;
    this.#build = id ? new Build(id) : null;
    void this.#build?.load();
  }

  /** The build that this one is compared with; "" for none. */
  async compareWith(id: string): Promise<void> {
    if (!id) {
      this.#other = null;
      this.#compared = null;
      this.#comparing = null;
      return;
    }
    if (this.#other?.id !== id) this.#other = { id, stage: null };
    await this.#readCompared();
  }

  async #readCompared(): Promise<void> {
    const build = this.#build;
    const other = this.#other;
    if (!build || !other) return;
    const [answer, stage] = await Promise.allSettled([
      api.compare(other.id, build.id, settings.units),
      api.stage(other.id),
    ]);
    if (this.#build !== build || this.#other?.id !== other.id) return;
    this.#comparing = null;
    if (stage.status === 'fulfilled') this.#other = { id: other.id, stage: stage.value };
    if (answer.status === 'fulfilled') this.#compared = answer.value;
    else this.#comparing = asProblem(answer.reason);
  }

  /** After a save: the list and the comparison are asked for again, a moment later and once for several saves at a time. */
  changed(): void {
    clearTimeout(this.#later);
    this.#later = setTimeout(() => {
      void this.readRigs();
      void this.#readCompared();
    }, 250);
  }

  async reword(): Promise<void> {
    await Promise.all([this.#build?.reword(), this.#readCompared()]);
  }

  async #saved(rig: string, revision: number): Promise<void> {
    const build = this.#build;
    if (build?.id === rig) await build.savedElsewhere(revision);
    this.changed();
  }

  async #answersOf(rig: string): Promise<void> {
    if (this.#build?.id === rig) await this.#build.answer();
    this.changed();
  }

  #lost(away: boolean): void {
    this.#away = away;
  }

  async #back(): Promise<void> {
    this.#lost(false);
    this.#build?.setAway(false);
    await this.readRigs();
    const mine = this.#rigs?.find((r) => r.id === this.#build?.id);
    if (this.#build && !this.#build.rig) await this.#build.load();
    else if (mine) await this.#build?.savedElsewhere(mine.revision);
    await this.#readChannels();
    await this.#readCompared();
    await searches.again();
  }

  async #readChannels(): Promise<void> {
    try {
      this.#channels = await api.channels();
    } catch {
      // The catalogue only adds explanations; the answers stand without it.
    }
  }
}

function asProblem(e: unknown): Problem {
  return e instanceof Problem ? e : new Problem(-1, 'The page failed', String(e));
}

export const workshop = new Workshop();
