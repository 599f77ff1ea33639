import { expect, it } from 'vitest';
import { yamlText } from './yaml';

it.each([
  ['belly/rear upper low', 'belly/rear upper low'],
  ['pack-3s-2200', 'pack-3s-2200'],
  ['idler/teeth, far side', '"idler/teeth, far side"'],
  ['yes', '"yes"'],
  ['7', '"7"'],
  ['a: b', '"a: b"'],
  ['a #b', '"a #b"'],
  ['say "so"', '"say \\"so\\""'],
])('%s', (text, written) => {
  expect(yamlText(text)).toBe(written);
});
