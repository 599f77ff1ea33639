import { untrack } from 'svelte';
import { Problem } from '$lib/api/problem';

/** An answer that is asked for again whenever what it depends on changes; the one that was asked last counts. */
export class Ask<T> {
  answer = $state.raw<T | null>(null);
  problem = $state('');
  #serial = 0;

  /** on is read for what it depends on. */
  constructor(on: () => unknown, ask: () => Promise<T>) {
    $effect(() => {
      on();
      const mine = ++this.#serial;
      untrack(() => {
        ask()
          .then((a) => {
            if (mine !== this.#serial) return;
            this.answer = a;
            this.problem = '';
          })
          .catch((e: unknown) => {
            if (mine === this.#serial) this.problem = e instanceof Problem ? e.sentence : String(e);
          });
      });
    });
  }
}
