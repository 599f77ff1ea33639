import type { End } from '$lib/api/types';

/** A link's eye that is about to be moved to another hole. */
export interface MovingEye {
  link: string;
  axle: End;
  end: 'from' | 'to';
  from: string;
}

/** What is picked out on the stage and in the parts: a path of the document joined by "/". */
class Selection {
  #path = $state('');
  #hole = $state('');
  #eye = $state.raw<MovingEye | null>(null);
  #target = $state('');

  get path(): string {
    return this.#path;
  }
  get hole(): string {
    return this.#hole;
  }
  get eye(): MovingEye | null {
    return this.#eye;
  }
  /** The hole that the moving eye was shown, waiting for a yes. */
  get target(): string {
    return this.#target;
  }

  pick(path: string, hole = ''): void {
    this.#path = path;
    this.#hole = hole;
  }
  clear(): void {
    this.pick('');
    this.cancelMove();
  }
  beginMove(eye: MovingEye): void {
    this.#eye = eye;
    this.#target = '';
    this.pick(`links/${eye.link}`);
  }
  aim(hole: string): void {
    if (this.#eye && hole !== this.#eye.from) this.#target = hole;
  }
  cancelMove(): void {
    this.#eye = null;
    this.#target = '';
  }
}

export const selection = new Selection();
