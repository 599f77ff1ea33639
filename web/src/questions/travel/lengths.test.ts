import { describe, expect, it } from 'vitest';
import type { Part } from '$lib/api/types';
import { putLengths } from './lengths';

const link = (text: Record<string, string>): Part => ({
  path: ['links', 'rear upper'],
  name: 'rear upper',
  kind: 'link',
  item: '',
  pair: true,
  mass_g: null,
  mass_from: 'none',
  at_mm: null,
  on: '',
  holes: [],
  inherited: false,
  text,
});
const wish = [
  { link: 'rear upper', wanted_mm: 118.25, change_mm: 1.25 },
  { link: 'rear lower', wanted_mm: 100, change_mm: 0 },
];

describe('lengths put into the document', () => {
  it('take the place of rod, ends and turns', () => {
    expect(putLengths(wish, [link({ ends: '[end-a, end-b]', turns: '2' })])).toEqual([
      { path: ['links', 'rear upper', 'length'], value: '118.250000000' },
      { path: ['links', 'rear upper', 'rod'], remove: true },
      { path: ['links', 'rear upper', 'ends'], remove: true },
      { path: ['links', 'rear upper', 'turns'], remove: true },
    ]);
  });
  it('overwrite a length that stands there, and leave what does not change', () => {
    expect(putLengths(wish, [link({ length: '117' })])).toEqual([
      { path: ['links', 'rear upper', 'length'], value: '118.250000000' },
    ]);
  });
});
