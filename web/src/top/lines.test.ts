import { describe, expect, it } from 'vitest';
import { compareLines } from './lines';

describe('compareLines', () => {
  it('pairs what is the same', () => {
    expect(compareLines('a\nb', 'a\nb')).toEqual([
      { theirs: 'a', mine: 'a' },
      { theirs: 'b', mine: 'b' },
    ]);
  });
  it('sets a changed line of each side alone', () => {
    expect(compareLines('a\nmass: 1\nc', 'a\nmass: 2\nc')).toEqual([
      { theirs: 'a', mine: 'a' },
      { theirs: 'mass: 1', mine: null },
      { theirs: null, mine: 'mass: 2' },
      { theirs: 'c', mine: 'c' },
    ]);
  });
  it('gives both texts back whole, whatever they are', () => {
    // Small random texts from few different lines; both columns must read as the texts again.
    let seed = 20261125;
    const next = (n: number): number => (seed = (seed * 1103515245 + 12345) % 2147483648) % n;
    for (let k = 0; k < 200; k++) {
      const text = (): string => Array.from({ length: next(9) }, () => 'abc'[next(3)] ?? '').join('\n');
      const [a, b] = [text(), text()];
      const pairs = compareLines(a, b);
      const column = (side: 'theirs' | 'mine'): string =>
        pairs.flatMap((p) => (p[side] === null ? [] : [p[side]])).join('\n');
      expect([column('theirs'), column('mine')], `seed 20261125, round ${k}`).toEqual([a, b]);
    }
  });
});
