/** Two texts beside each other, line by line: lines that only one of them has stand alone. */
export interface Pairing {
  theirs: string | null;
  mine: string | null;
}

/** Longest common subsequence of lines; what is the same at both ends is taken off first, so that usual edits are cheap. */
export function compareLines(theirs: string, mine: string): Pairing[] {
  const a = theirs.split('\n');
  const b = mine.split('\n');
  let head = 0;
  while (head < a.length && head < b.length && a[head] === b[head]) head++;
  let tail = 0;
  while (tail < a.length - head && tail < b.length - head && a[a.length - 1 - tail] === b[b.length - 1 - tail]) tail++;
  const same = (from: number, to: number): Pairing[] => a.slice(from, to).map((l) => ({ theirs: l, mine: l }));
  return [
    ...same(0, head),
    ...middle(a.slice(head, a.length - tail), b.slice(head, b.length - tail)),
    ...same(a.length - tail, a.length),
  ];
}

function middle(a: string[], b: string[]): Pairing[] {
  if (a.length * b.length > 4_000_000) {
    // Too much for a table of lengths: one after the other is still readable.
    return [...a.map((l) => ({ theirs: l, mine: null })), ...b.map((l) => ({ theirs: null, mine: l }))];
  }
  const w = b.length + 1;
  const longest = new Uint32Array((a.length + 1) * w);
  const at = (i: number, j: number): number => longest[i * w + j] ?? 0;
  for (let i = a.length - 1; i >= 0; i--) {
    for (let j = b.length - 1; j >= 0; j--) {
      longest[i * w + j] = a[i] === b[j] ? at(i + 1, j + 1) + 1 : Math.max(at(i + 1, j), at(i, j + 1));
    }
  }
  const out: Pairing[] = [];
  let i = 0;
  let j = 0;
  while (i < a.length || j < b.length) {
    const l = a[i];
    const r = b[j];
    if (i < a.length && j < b.length && l === r) {
      out.push({ theirs: l ?? '', mine: r ?? '' });
      i++;
      j++;
    } else if (j >= b.length || (i < a.length && at(i + 1, j) >= at(i, j + 1))) {
      out.push({ theirs: l ?? '', mine: null });
      i++;
    } else {
      out.push({ theirs: null, mine: r ?? '' });
      j++;
    }
  }
  return out;
}
