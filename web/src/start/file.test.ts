import { expect, it } from 'vitest';
import { fileOf } from './file';

it.each([
  ['Bramble, as bought', 'bramble-as-bought.rig.yaml'],
  ['  Möhre №1 ', 'mohre-no1.rig.yaml'],
  ['../..', 'rig.rig.yaml'],
])('%s', (name, file) => {
  expect(fileOf(name)).toBe(file);
});
