import { describe, expect, it } from 'vitest';
import type { Joint, Unmet } from '$lib/api/types';
import { graphOf, partOf } from './graph';

const joint = (a: string, b: string, ok = true): Joint => ({
  name: '',
  a,
  b,
  ok,
  fit: ok ? 'slip fit' : 'will not go',
  found: false,
  reason: '',
  source: '',
  type: '',
});
const need = (part: string): Unmet => ({ part, port: 'hole', needs: 'a pin of 2 mm', count: 1, would_fit: [] });

describe('parts and joints as rows', () => {
  it('knows the part of a port, also of a link', () => {
    expect(partOf('gearbox/top shaft')).toBe('gearbox');
    expect(partOf('rear lower, axle end')).toBe('rear lower');
  });

  it('shows every part once and every joint once', () => {
    const joints = [
      joint('motor/shaft', 'pinion/bore'),
      joint('pinion/teeth', 'spur/teeth'),
      joint('gearbox/shaft', 'spur/bore'),
      joint('motor/face', 'gearbox/plate'),
      joint('axle/hex', 'tyre/hex'),
    ];
    const g = graphOf(joints, []);
    expect(g.rows.map((r) => r.part).toSorted()).toEqual(['axle', 'gearbox', 'motor', 'pinion', 'spur', 'tyre']);
    const shown = [...g.rows.flatMap((r) => r.joints), ...g.rings.flatMap((r) => r.joints)];
    expect(shown).toHaveLength(joints.length);
    expect(new Set(shown).size).toBe(joints.length);
    expect(g.rings).toHaveLength(1); // four parts in a ring: three joints hang, one closes it
    expect(g.rows.filter((r) => r.parent < 0)).toHaveLength(2);
  });

  it('puts faults and needs before the rest', () => {
    const g = graphOf(
      [joint('a/1', 'b/1'), joint('a/2', 'c/1'), joint('a/3', 'd/1', false), joint('x/1', 'y/1'), joint('x/2', 'z/1')],
      [need('a')],
    );
    expect(g.rows.slice(0, 3).map((r) => r.missing || r.part)).toEqual(['a', 'a pin of 2 mm', 'd']);
    expect(graphOf([joint('a/1', 'b/1'), joint('a/1', 'c/1')], [need('k')]).rows[0]?.part).toBe('k');
  });

  it('keeps rings that overlap in lanes of their own', () => {
    const ring = ['a', 'b', 'c', 'd', 'e'];
    const joints = ring.flatMap((p, i) => ring.slice(i + 1).map((q) => joint(`${p}/x`, `${q}/x`)));
    const { rings } = graphOf(joints, []);
    for (const p of rings)
      for (const q of rings)
        if (p !== q && p.lane === q.lane) expect(p.lower < q.upper || p.upper > q.lower).toBe(true);
  });

  it('joins two joints of the same two parts into one line', () => {
    const g = graphOf([joint('pin/1', 'spur/1'), joint('spur/2', 'pin/2', false)], []);
    expect(g.rows).toHaveLength(2);
    expect(g.rows[1]?.joints).toHaveLength(2);
  });
});
