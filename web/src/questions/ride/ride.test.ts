import { describe, expect, it } from 'vitest';
import type { Part, Tilting } from '$lib/api/types';
import type { Row } from '$lib/state/rows';
import { collarChanges, oilChanges, springChanges } from './apply';
import { angleLines, loadCurves, union } from './curves';

const row = (by: number, load: number): Row => ({
  by,
  loads: { front_left: load, front_right: load + 1, rear_left: load + 2, rear_right: load + 3 },
  belly: 0,
  pose: null,
});

describe('curves', () => {
  it('of two builds stand on one axis, each only where it has rows', () => {
    const mine = [row(0, 1), row(1, 2)];
    const other = [row(0, 5), row(0.5, 6)];
    const x = union([mine.map((r) => r.by), other.map((r) => r.by), [3]]);
    expect(x).toEqual([0, 0.5, 1, 3]);
    const curves = loadCurves(x, mine, other, (n) => 10 * n);
    expect(curves).toHaveLength(8);
    expect(curves.find((c) => c.label === 'front left')?.values).toEqual([10, null, 20, null]);
    expect(curves.find((c) => c.label === 'other build, rear right')?.values).toEqual([80, 90, null, null]);
    expect(curves.filter((c) => c.quiet)).toHaveLength(4);
    expect(loadCurves(x, mine, [], (n) => n)).toHaveLength(4);
  });
  it('lines say what happens where, in order, and not the same twice', () => {
    const t = {
      rigid_deg: 47.7,
      locked_tip_deg: 44.7,
      tip_deg: 41.3,
      first_light_deg: 41.3,
      first_light: 'rear right',
    } as unknown as Tilting;
    expect(angleLines(t).map((l) => l.text)).toEqual(['tips 41.3°', 'shocks locked 44.7°', 'rigid 47.7°']);
    const early = angleLines({ ...t, first_light_deg: 39 });
    expect(early.map((l) => l.text)[0]).toBe('first light 39.0°');
    expect(angleLines({ ...t, tip_deg: null, locked_tip_deg: null, first_light_deg: null })).toHaveLength(1);
  });
});

describe('what a button writes into the document', () => {
  const shock = (name: string, springs: string): Part => ({ name, path: ['shocks', name], text: { springs } }) as never;

  it('collars, unless one would have to be above where it is free', () => {
    expect(collarChanges([{ name: 'front', collar_mm: 2.714 }])).toEqual([
      { path: ['shocks', 'front', 'collar'], value: '2.71 mm' },
    ]);
    expect(collarChanges([{ name: 'rear', collar_mm: -0.2 }])).toBeNull();
    expect(collarChanges([])).toBeNull();
  });
  it('a spring of the bins, unless several stand in series', () => {
    expect(springChanges(['front'], 'spring-65-16', [shock('front', '[{item: spring-65-20}]')])).toEqual([
      { path: ['shocks', 'front', 'springs'], value: '[{item: spring-65-16}]' },
    ]);
    expect(springChanges(['front'], 'a', [shock('front', '[{item: a}, {item: b}]')])).toBeNull();
    expect(springChanges(['front'], '', [])).toBeNull();
  });
  it('oil', () => {
    expect(oilChanges(['rear'], 106.7)).toEqual([{ path: ['shocks', 'rear', 'oil'], value: '107 cSt' }]);
  });
});
