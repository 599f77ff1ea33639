import { describe, expect, it } from 'vitest';
import { parsePlace, writePlace } from './place';

describe('the address', () => {
  it('comes back as it was written', () => {
    const place = { rig: 'my rig/2', word: 'compare', other: 'a&b', begin: false } as const;
    expect(parsePlace(writePlace(place))).toEqual(place);
  });
  it('opens travel when it names no question, or one that is not there', () => {
    expect(parsePlace('#/rig/bramble').word).toBe('travel');
    expect(parsePlace('#/rig/bramble/nothing').word).toBe('travel');
  });
  it('is the list of rigs otherwise', () => {
    expect(parsePlace('').rig).toBe('');
    expect(parsePlace('#/begin').begin).toBe(true);
  });
});
