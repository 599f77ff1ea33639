import { api } from '$lib/api/client';
import { Problem } from '$lib/api/problem';
import type { Assembly, Change, Check, Rig, Stage } from '$lib/api/types';
import { keepDraft, readDraft, type Draft } from './drafts';
import { Pose } from './pose.svelte';
import { settings } from './settings.svelte';
import { Running } from './running.svelte';
import { Sitting } from './sitting.svelte';

/** What was wanted when somebody else had saved in between. */
export interface Conflict {
  theirs: Rig;
  text: string | null; // my whole text, when that was saved
  changes: Change[] | null; // or the change I made in place
  why: string;
}

export type Saving = 'saved' | 'saving' | 'draft' | 'away' | 'conflict';

/** One open build: the document as saved, what the program answers about it, where its axles are, and what is not saved yet. */
export class Build {
  readonly id: string;
  readonly pose: Pose;
  readonly sitting: Sitting;
  readonly running: Running;
  /** Turn of each front knuckle about its kingpin that the stage shows, degrees; null for straight ahead. */
  steered = $state.raw<{ left: number; right: number } | null>(null);
  #rig = $state.raw<Rig | null>(null);
  #check = $state.raw<Check | null>(null);
  #stage = $state.raw<Stage | null>(null);
  #parts = $state.raw<Assembly[] | null>(null);
  #draft = $state.raw<Draft | null>(null);
  #conflict = $state.raw<Conflict | null>(null);
  #problem = $state.raw<Problem | null>(null);
  #answering = $state.raw<Problem | null>(null);
  #saving = $state(false);
  #away = $state(false);
  #draftKept = $state(true);
  #queue: Promise<unknown> = Promise.resolve();

  constructor(id: string) {
    this.id = id;
    this.pose = new Pose(id);
    this.sitting = new Sitting(id);
    this.running = new Running(id);
    this.#draft = readDraft(id);
  }

  get rig(): Rig | null {
    return this.#rig;
  }
  get check(): Check | null {
    return this.#check;
  }
  get stage(): Stage | null {
    return this.#stage;
  }
  get parts(): Assembly[] | null {
    return this.#parts;
  }
  get draft(): Draft | null {
    return this.#draft;
  }
  get conflict(): Conflict | null {
    return this.#conflict;
  }
  /** Why the last save or load did not go through. */
  get problem(): Problem | null {
    return this.#problem;
  }
  /** The same in words, naming the file when the mistake is in one that builds on this. */
  get refusal(): string {
    return this.#problem?.about(this.#rig?.file ?? '') ?? 'Not saved.';
  }
  /** Why there are no answers, when the saved document is not one that can be answered. */
  get answering(): Problem | null {
    return this.#answering;
  }
  get away(): boolean {
    return this.#away;
  }
  get saving(): Saving {
    if (this.#conflict) return 'conflict';
    if (this.#saving) return 'saving';
    if (this.#away) return 'away';
    return this.#draft ? 'draft' : 'saved';
  }
  get draftKept(): boolean {
    return this.#draftKept;
  }

  async load(): Promise<void> {
    await this.#guard(async () => {
      const answers = this.answer();
      this.#rig = await api.rig(this.id);
      await answers;
    });
  }

  /** Asks for everything that depends on the document: answers, stage, parts. Each is shown as soon as it is there. */
  async answer(): Promise<void> {
    const failed: unknown[] = [];
    const take = async <T>(asked: Promise<T>, shown: (t: T) => void): Promise<void> => {
      try {
        shown(await asked);
      } catch (e) {
        failed.push(e);
      }
    };
    // The numbers come before the picture: on a slow machine drawing takes longer than answering.
    const numbers = take(api.check(this.id, settings.units), (check) => (this.#check = check));
    const stage = api.stage(this.id);
    await Promise.all([
      numbers,
      take(Promise.all([stage, numbers]), ([stage]) => {
        this.#stage = stage;
        this.pose.settle(stage);
      }),
      take(api.parts(this.id), (parts) => (this.#parts = parts)),
    ]);
    this.#answering = null;
    this.sitting.stale();
    this.running.stale();
    if (failed.length) this.#unanswered(failed[0]);
  }

  /** The sentences carry units: after a change of units only they are asked for again. */
  async reword(): Promise<void> {
    await this.#guard(async () => {
      this.#check = await api.check(this.id, settings.units);
      this.sitting.stale();
    });
  }

  /** Saves the whole text. True when it is saved. */
  async save(text: string, why: string): Promise<boolean> {
    if (this.#rig && this.#draft && this.#draft.revision !== this.#rig.revision) {
      // Typed on an older revision: saving would quietly take back what was saved since.
      this.#conflict = { theirs: this.#rig, text, changes: null, why };
      return false;
    }
    return this.#write((rig) => api.save(rig, text, why), { text, changes: null, why });
  }

  /** Makes a change in place, comments kept. True when it is saved. */
  async edit(changes: Change[], why: string): Promise<boolean> {
    return this.#write((rig) => api.edit(rig, changes, why), { text: null, changes, why });
  }

  async undo(): Promise<boolean> {
    return this.#write((rig) => api.undo(rig), { text: null, changes: null, why: 'undo' });
  }

  async redo(): Promise<boolean> {
    return this.#write((rig) => api.redo(rig), { text: null, changes: null, why: 'redo' });
  }

  setDraft(text: string | null): void {
    this.#draft = text === null || !this.#rig ? null : { text, revision: this.#draft?.revision ?? this.#rig.revision };
    this.#draftKept = keepDraft(this.id, this.#draft);
  }

  /** Somebody saved this build elsewhere: taken over quietly when nothing here waits to be saved. */
  async savedElsewhere(revision: number): Promise<void> {
    await this.#queue;
    if (!this.#rig || revision <= this.#rig.revision) return;
    if (this.#conflict) return;
    if (!this.#draft) return this.load();
    await this.#guard(async () => {
      const theirs = await api.rig(this.id);
      this.#conflict = { theirs, text: this.#draft?.text ?? null, changes: null, why: 'Edited as text' };
    });
  }

  /** Ends a conflict. "mine" goes on top of what the other saved, which stays in the history. */
  async settle(choice: 'mine' | 'theirs' | 'draft'): Promise<boolean> {
    const conflict = this.#conflict;
    if (!conflict) return true;
    this.#conflict = null;
    this.#rig = conflict.theirs;
    if (choice === 'theirs') {
      this.setDraft(null);
      await this.answer();
      return true;
    }
    if (choice === 'draft') {
      this.#draft = { text: conflict.text ?? conflict.theirs.text, revision: conflict.theirs.revision };
      this.#draftKept = keepDraft(this.id, this.#draft);
      await this.answer();
      return true;
    }
    if (conflict.text !== null) {
      if (this.#draft) this.#draft = { ...this.#draft, revision: conflict.theirs.revision };
      return this.save(conflict.text, conflict.why);
    }
    if (conflict.changes !== null) return this.edit(conflict.changes, conflict.why);
    await this.answer();
    return true;
  }

  dismiss(): void {
    this.#problem = null;
  }

  setAway(away: boolean): void {
    this.#away = away;
  }

  #unanswered(reason: unknown): void {
    const problem = reason instanceof Problem ? reason : new Problem(-1, 'The page failed', String(reason));
    if (problem.away) this.#away = true;
    this.#answering = problem;
  }

  /** One write at a time, in the order they were asked for, each on the revision the one before it made. */
  async #write(send: (rig: Rig) => Promise<Rig>, mine: Omit<Conflict, 'theirs'>): Promise<boolean> {
    const before = this.#queue;
    const turn = (async () => {
      await before;
      if (!this.#rig) return false;
      this.#saving = true;
      try {
        this.#rig = await send(this.#rig);
        this.#problem = null;
        this.#away = false;
        if (mine.text !== null && this.#draft?.text === mine.text) this.setDraft(null);
      } catch (e) {
        await this.#refused(e, mine);
        return false;
      } finally {
        this.#saving = false;
      }
      await this.answer();
      return true;
    })();
    this.#queue = turn;
    return turn;
  }

  async #refused(e: unknown, mine: Omit<Conflict, 'theirs'>): Promise<void> {
    const problem = e instanceof Problem ? e : new Problem(-1, 'The page failed', String(e));
    if (problem.away) this.#away = true;
    if (!problem.conflict) {
      this.#problem = problem;
      return;
    }
    try {
      this.#conflict = { ...mine, theirs: await api.rig(this.id) };
    } catch (again) {
      this.#problem = again instanceof Problem ? again : problem;
    }
  }

  async #guard(work: () => Promise<void>): Promise<void> {
    try {
      await work();
      this.#problem = null;
      this.#away = false;
    } catch (e) {
      const problem = e instanceof Problem ? e : new Problem(-1, 'The page failed', String(e));
      if (problem.away) this.#away = true;
      this.#problem = problem;
    }
  }
}
