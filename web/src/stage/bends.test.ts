import { Vector3 } from 'three';
import { expect, it } from 'vitest';
import { along, leftward } from './moving';

// The document counts a bend's side to the left, or, on a link that runs across the car, to the front.
const side = (from: number[], to: number[]): Vector3 => {
  const [a, b] = [new Vector3(...from), new Vector3(...to)];
  return new Vector3().setFromMatrixColumn(along(a, b), 1).multiplyScalar(leftward(a, b) ? 1 : -1);
};

it('the side of a bend is the left one, on front and rear links alike', () => {
  expect(side([0, 40, 0], [120, 30, -20]).y).toBeGreaterThan(0.9);
  expect(side([0, 40, 0], [-120, 30, -20]).y).toBeGreaterThan(0.9);
});

it('on a link across the car it is the front', () => {
  expect(side([0, -60, 0], [2, 60, 0]).x).toBeGreaterThan(0.9);
  expect(side([0, 60, 0], [-2, -60, 0]).x).toBeGreaterThan(0.9);
});
