import { expect, test } from 'vitest';
import { address, sections, type Wish } from './ask';

const wish: Wish = { rig: '3', against: '', units: 'metric', paper: 'letter', wanted: ['side', 'key'] };
const asks = (text: string): Record<string, string> => Object.fromEntries(new URL(text, 'http://x.test').searchParams);

test('each format asks for what it needs and for nothing else', () => {
  expect(address(wish, 'pdf').startsWith('/api/rigs/3/sheet?')).toBe(true);
  expect(asks(address(wish, 'pdf'))).toEqual({ format: 'pdf', units: 'metric', paper: 'letter', sections: 'side,key' });
  expect(asks(address(wish, 'html'))).toEqual({ format: 'html', units: 'metric', sections: 'side,key' });
  expect(asks(address({ ...wish, against: '7', units: 'us' }, 'csv'))).toEqual({
    format: 'csv',
    units: 'us',
    against: '7',
  });
});

test('a number that is none stays within its place', () => {
  expect(address({ ...wish, rig: '3/../4?x' }, 'csv')).toContain('/api/rigs/3%2F..%2F4%3Fx/sheet?');
});

test('no section is there twice', () => {
  expect(new Set(sections.map((s) => s.key)).size).toBe(sections.length);
});
