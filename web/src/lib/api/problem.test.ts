import { describe, expect, it } from 'vitest';
import { away, problemFrom } from './problem';

const two = {
  title: 'Mistakes in the text',
  detail: 'found 2',
  errors: [{ message: 'a', file: 'x.rig.yaml' }, { message: 'b' }],
};

describe('what is said of a problem', () => {
  it('is the first mistake, and how many more', () => {
    expect(problemFrom(422, two).sentence).toBe('a (and 1 more)');
  });
  it('says which other file would break', () => {
    const breaks = { ...two, detail: 'x.rig.yaml builds on it and would no longer load' };
    expect(problemFrom(422, breaks).about('y.rig.yaml')).toBe(
      'x.rig.yaml builds on it and would no longer load: a (and 1 more)',
    );
    expect(problemFrom(422, breaks).about('x.rig.yaml')).toBe('a (and 1 more)');
  });
  it('is the detail, or else the title, without mistakes', () => {
    expect(problemFrom(507, { title: 'Disk full', detail: 'the disk is full' }).sentence).toBe('the disk is full');
    expect(problemFrom(500, null).sentence).toBe('Refused');
  });
  it('knows a conflict with its revision, and nobody there', () => {
    const p = problemFrom(412, { title: 'x', detail: 'y', revision: 7 });
    expect([p.conflict, p.revision, p.away]).toEqual([true, 7, false]);
    expect(away().away).toBe(true);
  });
});
