import { expect, it } from 'vitest';
import { cellsOf, example } from './table';

it.each([
  [
    'a\tb\n1,5\t2',
    [
      ['a', 'b'],
      ['1,5', '2'],
    ],
  ],
  [
    'a;b\r\n1,5;2\r\n',
    [
      ['a', 'b'],
      ['1,5', '2'],
    ],
  ],
  [
    'a,b\n"1", 2',
    [
      ['a', 'b'],
      ['1', '2'],
    ],
  ],
])('takes %j apart', (text, cells) => {
  expect(cellsOf(text)).toEqual(cells);
});

it('has an example with as many cells in each row as in the header', () => {
  const rows = cellsOf(example);
  expect(rows.every((r) => r.length === rows[0]?.length)).toBe(true);
});
