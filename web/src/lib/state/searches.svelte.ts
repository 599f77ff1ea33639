import { api } from '$lib/api/client';
import { Problem } from '$lib/api/problem';
import type { Bands, SearchAnswer, SearchRun, SearchSection, Stage } from '$lib/api/types';
import { settings } from './settings.svelte';

/** The searches of the rig on the bench: what the document says of them, runs as they go on, and what the chosen one found. */
class Searches {
  #rig = '';
  #section = $state.raw<SearchSection | null>(null);
  #runs = $state.raw<SearchRun[] | null>(null);
  #chosen = $state(''); // run whose answer is shown
  #answer = $state.raw<SearchAnswer | null>(null);
  #build = $state(-1);
  #stage = $state.raw<Stage | null>(null);
  #bands = $state.raw<Bands | null>(null);
  #problem = $state('');

  get section(): SearchSection | null {
    return this.#section;
  }
  get runs(): SearchRun[] | null {
    return this.#runs;
  }
  /** The run that goes on, or waits for its turn. */
  get going(): SearchRun | undefined {
    return this.#runs?.find((r) => r.state === 'running' || r.state === 'waiting');
  }
  get chosen(): SearchRun | undefined {
    return this.#runs?.find((r) => r.id === this.#chosen);
  }
  get answer(): SearchAnswer | null {
    return this.#answer;
  }
  /** Place of the picked build in the answer; −1 for none. */
  get build(): number {
    return this.#build;
  }
  /** The picked build, drawn. */
  get stage(): Stage | null {
    return this.#stage;
  }
  get bands(): Bands | null {
    return this.#bands;
  }
  get problem(): string {
    return this.#problem;
  }

  async open(rig: string): Promise<void> {
    if (rig !== this.#rig) {
      this.#rig = rig;
      this.#section = null;
      this.#runs = null;
      this.#forget();
    }
    await Promise.all([this.readSection(), this.#readRuns()]);
  }

  /** After the program was away. */
  async again(): Promise<void> {
    if (this.#rig) await this.open(this.#rig);
  }

  async readSection(): Promise<void> {
    const rig = this.#rig;
    await this.#try(async () => {
      const section = await api.searchSection(rig, settings.units);
      if (rig === this.#rig) this.#section = section;
    });
  }

  async #readRuns(): Promise<void> {
    const rig = this.#rig;
    await this.#try(async () => {
      const runs = await api.searches(rig);
      if (rig !== this.#rig) return;
      this.#runs = runs;
      const last = runs.find((r) => r.state === 'done');
      if (!this.#chosen && last) await this.choose(last.id);
    });
  }

  heard(run: SearchRun): void {
    if (run.rig !== this.#rig || !this.#runs) return;
    const old = this.#runs.find((r) => r.id === run.id);
    this.#runs = old ? this.#runs.map((r) => (r.id === run.id ? run : r)) : [run, ...this.#runs];
    if (run.state === 'done' && old?.state !== 'done') void this.choose(run.id);
  }

  async begin(): Promise<void> {
    await this.#try(async () => this.heard(await api.beginSearch(this.#rig, settings.units)));
  }
  async stop(run: string): Promise<void> {
    await this.#try(async () => this.heard(await api.stopSearch(run)));
  }
  async continue(run: string): Promise<void> {
    await this.#try(async () => this.heard(await api.continueSearch(run)));
  }
  async delete(run: string): Promise<void> {
    await this.#try(async () => {
      await api.deleteSearch(run);
      this.#runs = this.#runs?.filter((r) => r.id !== run) ?? null;
      if (this.#chosen === run) this.#forget();
    });
  }

  /** Shows what a run found. */
  async choose(run: string): Promise<void> {
    this.#forget();
    this.#chosen = run;
    await this.#try(async () => {
      const answer = await api.found(run);
      if (this.#chosen === run) this.#answer = answer;
    });
  }

  /** Puts a build on the stage; −1 puts the rig itself back. */
  async pick(build: number): Promise<void> {
    this.#build = build;
    this.#bands = null;
    if (build < 0) {
      this.#stage = null;
      return;
    }
    const run = this.#chosen;
    await this.#try(async () => {
      const stage = await api.foundStage(run, build);
      if (this.#chosen === run && this.#build === build) this.#stage = stage;
    });
    await this.#try(async () => {
      const bands = await api.foundBands(run, build, settings.units);
      if (this.#chosen === run && this.#build === build) this.#bands = bands;
    });
  }

  dismiss(): void {
    this.#problem = '';
  }

  #forget(): void {
    this.#chosen = '';
    this.#answer = null;
    this.#build = -1;
    this.#stage = null;
    this.#bands = null;
  }

  async #try(work: () => Promise<void>): Promise<void> {
    try {
      await work();
      this.#problem = '';
    } catch (e) {
      this.#problem = e instanceof Problem ? e.sentence : String(e);
    }
  }
}

export const searches = new Searches();
