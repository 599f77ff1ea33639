import { BoxGeometry, Matrix4, Vector3 } from 'three';
import { describe, expect, it } from 'vitest';
import { placed } from './merge';
import { placement } from './shapes';

/** Volume by the divergence theorem: positive when every face looks outward. */
function volume(g: ReturnType<typeof placed>): number {
  const p = g.getAttribute('position');
  const at = (i: number): Vector3 => new Vector3().fromBufferAttribute(p, g.index?.getX(i) ?? i);
  let sum = 0;
  for (let i = 0; i < (g.index?.count ?? p.count); i += 3) sum += at(i).dot(at(i + 1).cross(at(i + 2))) / 6;
  return sum;
}

describe('placed', () => {
  const box = new BoxGeometry(2, 3, 4).translate(1, 5, 0);
  it('keeps size and outward faces when moved', () => {
    expect(volume(placed(box, new Matrix4().makeRotationX(0.3).setPosition(7, 8, 9)))).toBeCloseTo(24, 4);
  });
  it('keeps faces outward when mirrored', () => {
    const mirrored = placed(box, placement([0, 0, 0], [1, 0, 0, 0, 1, 0, 0, 0, 1], true));
    expect(volume(mirrored)).toBeCloseTo(24, 4);
    mirrored.computeBoundingBox();
    expect(mirrored.boundingBox?.min.y).toBeCloseTo(-6.5, 6); // 5 ± 1.5 on the other side
  });
});
