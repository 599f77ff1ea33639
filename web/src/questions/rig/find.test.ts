import { describe, expect, it } from 'vitest';
import type { Part } from '$lib/api/types';
import { covers, matches, placeParts, placeText } from './find';

const part: Part = {
  path: ['chassis', 'parts', 'front tower'],
  name: 'front tower',
  kind: 'mount',
  item: '',
  pair: true,
  mass_g: 13,
  mass_from: 'document',
  at_mm: null,
  on: '',
  holes: [{ name: 'shock 1', at_mm: [1, 2, 3], pair: false, bolt: 'M3' }],
  inherited: false,
  text: {},
};

describe('search', () => {
  it('wants every word, anywhere', () => {
    expect(matches(part, 'TOWER m3')).toBe(true);
    expect(matches(part, 'chassis shock')).toBe(true);
    expect(matches(part, 'tower M4')).toBe(false);
    expect(matches(part, '  ')).toBe(true);
  });
});

describe('picked paths', () => {
  it('means the part or something of it, not a longer name', () => {
    expect(covers('links/rear upper', 'links/rear upper')).toBe(true);
    expect(covers('links/rear upper', 'links/rear upper/from')).toBe(true);
    expect(covers('links/rear', 'links/rear upper')).toBe(false);
  });
});

describe('places', () => {
  it('reads what it writes', () => {
    expect(placeParts(placeText(['6 mm', '-0.5 in', '12']))).toEqual(['6', '-0.5 in', '12']);
  });
  it('gives up on what is not three values', () => {
    expect(placeParts('[1, 2]')).toBeNull();
    expect(placeParts(undefined)).toBeNull();
  });
});
