/** The item of a bin that is being dragged: what lets go of it must know its kind before it is dropped. */
class Dragged {
  item = $state.raw<{ id: string; kind: string } | null>(null);

  /** Says that a part of the kind may become the item. */
  fits(kind: string): boolean {
    return this.item !== null && (kind === '' || this.item.kind === '' || kind === this.item.kind);
  }
}

export const dragged = new Dragged();
