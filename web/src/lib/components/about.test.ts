import { expect, it } from 'vitest';
import { aboutName } from './about';

it.each([
  ['links/rear upper', 'rear upper link'],
  ['links/rear upper/length', 'rear upper link'],
  ['shocks/front', 'front shock'],
  ['chassis/parts/belly', 'belly'],
  ['rear/parts/rear axle/holes/lower', 'rear axle/holes/lower'],
  ['rear/near', null],
  ['targets/wheelbase', null],
  ['links', null],
])('%s', (path, name) => {
  expect(aboutName(path)).toBe(name);
});
