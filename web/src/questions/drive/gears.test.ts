import { describe, expect, it } from 'vitest';
import type { GearStage } from '$lib/api/types';
import { chainOf, outline } from './gears';

const stage = (teeth: number[], distances: (number | null)[]): GearStage => ({
  gears: teeth.map((t) => `gear ${t}`),
  teeth,
  ratio: (teeth.at(-1) ?? 1) / (teeth[0] ?? 1),
  meshes: distances.map((d, i) => ({
    from: `gear ${teeth[i]}`,
    to: `gear ${teeth[i + 1]}`,
    center_distance_mm: d,
    placed_mm: null,
    contact_ratio: null,
  })),
});

describe('the picture of the gears', () => {
  it('is to scale: pitch circles touch, and one module makes both', () => {
    // Module 0.6: 18 and 30 teeth stand 14.4 mm apart, 30 and 36 teeth 19.8 mm (m·(z₁+z₂)/2, any gear handbook).
    const { gears, scale } = chainOf([stage([18, 30, 36], [14.4, 19.8])]);
    expect(scale).toBe(true);
    expect(gears.map((g) => g.x)).toEqual([0, expect.closeTo(14.4, 9), expect.closeTo(34.2, 9)]);
    expect(gears.map((g) => g.radius)).toEqual([expect.closeTo(5.4, 9), expect.closeTo(9, 9), expect.closeTo(10.8, 9)]);
  });

  it('sets the next stage on the shaft of the last gear', () => {
    const { gears } = chainOf([stage([14, 54], [26.9875]), stage([18, 30], [14.4])]);
    expect(gears[2]?.x).toBe(gears[1]?.x);
    expect(gears[2]?.shared).toBe(true);
  });

  it('puts a tooth into a gap at every mesh', () => {
    for (const teeth of [
      [14, 54],
      [17, 31, 36],
      [18, 30, 37, 11],
    ]) {
      const { gears, meshes } = chainOf([
        stage(
          teeth,
          teeth.slice(1).map((t, i) => 0.3 * (t + (teeth[i] ?? 0))),
        ),
      ]);
      for (const m of meshes) {
        const [a, b] = [gears[m.from], gears[m.to]];
        if (!a || !b) throw new Error('no gear');
        // Shares of a pitch from the line of centres to a tooth's middle, counted along the same way: they differ by a half.
        const share = (angle: number, z: number): number => (((angle / ((2 * Math.PI) / z)) % 1) + 1) % 1;
        const sum = share(a.phase, a.teeth) + share(b.phase - Math.PI, b.teeth);
        expect(Math.abs((((sum % 1) + 1) % 1) - 0.5)).toBeLessThan(1e-9);
      }
    }
  });

  it('says when it cannot be to scale', () => {
    expect(chainOf([stage([14, 54], [null])]).scale).toBe(false);
  });

  it('draws every tooth once', () => {
    const [g] = chainOf([stage([11, 54], [25.8])]).gears;
    expect(g && outline(g).match(/[ML]/g)).toHaveLength(44);
  });
});
