import type { SearchRun } from './types';

/** What the program says on its own: a rig was saved somewhere, a rig went, the program went away or came back. */
export interface Heard {
  saved(rig: string, revision: number): void;
  /** A base or a bin of this rig was saved, so its answers may differ. */
  answers(rig: string): void;
  removed(rig: string): void;
  /** How far a search is. */
  search(run: SearchRun): void;
  away(): void;
  back(): void;
}

/** Listens until the returned function is called. The browser's own EventSource retries; a closed one is opened again. */
export function listen(heard: Heard): () => void {
  let source: EventSource | null = null;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let lost = false;
  let over = false;

  const read = (event: MessageEvent<string>): { rig: string; revision: number } =>
    JSON.parse(event.data) as { rig: string; revision: number };

  function open(): void {
    source = new EventSource('/api/events');
    source.onopen = () => {
      if (lost) heard.back();
      lost = false;
    };
    source.onerror = () => {
      if (!lost) heard.away();
      lost = true;
      source?.close();
      if (!over) timer = setTimeout(open, 1000);
    };
    source.addEventListener('saved', (e) => {
      const { rig, revision } = read(e);
      heard.saved(rig, revision);
    });
    source.addEventListener('answers', (e) => heard.answers(read(e).rig));
    source.addEventListener('search', (e: MessageEvent<string>) => heard.search(JSON.parse(e.data) as SearchRun));
    source.addEventListener('removed', (e) => heard.removed(read(e).rig));
  }

  open();
  return () => {
    over = true;
    clearTimeout(timer);
    source?.close();
  };
}
