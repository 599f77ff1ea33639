import { describe, expect, it } from 'vitest';
import type { SearchAnswer, SearchBuild, SearchNumber } from '$lib/api/types';
import { axes, bandOf, count, ends, fileFor, labels, lasting, points, telling, ticks, tickText } from './front';

const number = (name: string, value: number): SearchNumber => ({ name, value, unit: 'mm', text: `${value} mm` });
const build = (...numbers: SearchNumber[]): SearchBuild => ({
  numbers,
  changes: [],
  patch: '',
  trade: '',
  adds: [],
  findings: [],
  robust: [],
});

const answer: SearchAnswer = {
  name: 'A',
  space: 10,
  evaluated: 5,
  cut: 5,
  seconds: 1,
  choices: [],
  wants: [{ name: 'wheelbase', wanted: '', from: null, to: null, unit: 'mm', by: 'target' }],
  prefers: [{ name: 'price', way: 'lower' }],
  now: [],
  front: 2,
  builds: [
    build(number('mass', 3), number('wheelbase', 300), number('price', 5)),
    build(number('mass', 3), number('wheelbase', 310), number('price', 5)),
  ],
  rejected: {},
  loosen: null,
  findings: [],
};

describe('the front', () => {
  it('tells by what is preferred, then by what is wanted, then by what else differs', () => {
    expect(telling(answer)).toEqual(['price', 'wheelbase']);
  });
  it('plots the two preferred numbers that tell most builds apart', () => {
    const three = {
      ...answer,
      prefers: ['price', 'mass', 'wheelbase'].map((name) => ({ name, way: 'lower' as const })),
      builds: [1, 2, 3].map((n) => build(number('mass', n), number('wheelbase', 300 + n), number('price', n % 2))),
    };
    expect(axes(three, ['price', 'mass', 'wheelbase'])).toEqual(['mass', 'wheelbase']);
    expect(axes(answer, ['price', 'wheelbase'])).toEqual(['price', 'wheelbase']);
  });
  it('leaves out builds that lack a number', () => {
    expect(points([...answer.builds, build()], 'wheelbase', 'price')).toEqual([
      { build: 0, x: 300, y: 5 },
      { build: 1, x: 310, y: 5 },
    ]);
  });
});

it.each([
  [
    [0, 10],
    [0, 5, 10],
  ],
  [
    [0.31, 0.78],
    [0.2, 0.4, 0.6, 0.8],
  ],
  [
    [-3, 12],
    [-5, 0, 5, 10, 15],
  ],
  [
    [0, 2],
    [0, 1, 2],
  ],
])('ticks about %s', (values, want) => {
  const got = ticks(values);
  expect(got.length).toBe(want.length);
  got.forEach((t, i) => expect(t).toBeCloseTo(want[i] ?? NaN, 9));
});

it('has ticks about a single value, and none about nothing', () => {
  const one = ticks([42]);
  expect(one.length).toBeGreaterThan(2);
  expect(one[0]).toBeLessThan(42);
  expect(one.at(-1)).toBeGreaterThan(42);
  expect(ticks([])).toEqual([]);
  expect(tickText(0.4, [0.2, 0.4])).toBe('0.4');
  expect(tickText(-5, [-5, 0])).toBe('−5');
});

it.each([
  [0.2, 'less than a second'],
  [42, 'about 42 s'],
  [600, 'about 10 min'],
  [9000, 'about 2.5 h'],
])('%d s: %s', (s, want) => {
  expect(lasting(s)).toBe(want);
});

it('groups digits', () => {
  expect(count(1234567)).toBe('1\u202f234\u202f567');
  expect(count(999)).toBe('999');
});

it('names a file that is not there yet', () => {
  expect(fileFor('a.rig.yaml', 0, [])).toBe('a-found-1.rig.yaml');
  expect(fileFor('a.rig.yaml', 1, ['a-found-2.rig.yaml', 'a-found-3.rig.yaml'])).toBe('a-found-4.rig.yaml');
  expect(fileFor('a-found-3.rig.yaml', 0, [])).toBe('a-found-1.rig.yaml');
});

it('reads a band with true minus signs', () => {
  const b = {
    ...build(number('wheelbase', 300)),
    robust: [{ name: 'rear off centre', from: -0.3, to: 0.4, unit: 'mm', text: '-0.3 mm to -0.1 mm' }],
  };
  expect(bandOf(b, 'rear off centre')).toBe('−0.3 mm to −0.1 mm');
  expect(bandOf(b, 'price')).toBe('');
});

it('names points where there is room, the picked one always, left of the point at the right edge', () => {
  const at = labels(
    [
      { build: 0, x: 50, y: 100 },
      { build: 1, x: 52, y: 101 },
      { build: 2, x: 195, y: 100 },
    ],
    1,
    200,
  );
  expect([...at.keys()].sort()).toEqual([1, 2]);
  expect(at.get(1)).toEqual({ x: 61, y: 93, left: false });
  expect(at.get(2)?.left).toBe(true);
});

it.each([
  ['310.6 mm to 311.6 mm', ['310.6 to', '311.6 mm']],
  ['−0.2° to 8.3°', ['−0.2° to', '8.3°']],
  ['49.0 % to 51.2 %', ['49.0 to', '51.2 %']],
  ['as written', ['as written']],
])('ends of %s', (band, want) => {
  expect(ends(band)).toEqual(want);
});
