import { describe, expect, it } from 'vitest';
import type { Assembly, Joint, Part } from '$lib/api/types';
import { putIn, writeJoints } from './putIn';

const part = (name: string, pair = false): Part => ({
  path: ['front', 'parts', name],
  name,
  kind: 'axle',
  item: '',
  pair,
  mass_g: null,
  mass_from: 'none',
  at_mm: null,
  on: '',
  holes: [],
  inherited: false,
  text: {},
});
const front = (...parts: Part[]): Assembly[] => [{ word: 'front', mass_g: 0, parts }];
const need = (count: number) => ({ part: 'front axle', port: 'portal seat', needs: 'a bearing', count, would_fit: [] });

describe('putting a bin item in', () => {
  it('makes a part beside the one that needs it, under a name that is free', () => {
    const first = putIn(front(part('front axle')), need(1), 'bearing-8x16x5');
    expect(first?.path).toEqual(['front', 'parts', 'front axle portal bearing']);
    expect(first?.changes[0]?.value).toBe('{item: bearing-8x16x5, on: front axle}');
    const second = putIn(front(part('front axle'), part('front axle portal bearing')), need(1), 'bearing-8x16x5');
    expect(second?.name).toBe('front axle portal bearing 2');
  });
  it('makes a pair where two are needed', () => {
    expect(putIn(front(part('front axle')), need(2), 'bearing-8x16x5')?.changes[0]?.value).toContain('pair: true');
  });
  it('has nothing to put on a part that is in no assembly', () => {
    expect(putIn(front(part('rail')), need(1), 'bearing-8x16x5')).toBeNull();
  });
});

describe('writing down what was found', () => {
  const joint = (name: string, a: string, b: string, found: boolean): Joint => ({
    name,
    a,
    b,
    found,
    ok: true,
    fit: 'slip fit',
    type: '',
    reason: '',
    source: '',
  });
  it('leaves written ones alone and takes no name twice', () => {
    const list = writeJoints([
      joint('pin in case', 'case/x', 'pin/x', false),
      joint('', 'case/hole', 'pin/pin', true),
      joint('', 'case/idler, far side', 'pin/end', true),
    ]);
    expect(list).toEqual([
      { path: ['mates', 'pin in case 2'], value: '[case/hole, pin/pin]' },
      { path: ['mates', 'pin in case 3'], value: '["case/idler, far side", pin/end]' },
    ]);
  });
});
