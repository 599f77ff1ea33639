import { describe, expect, it } from 'vitest';
import type { BenchReading, BenchRow, BenchSheet } from '$lib/api/types';
import { along, freeName, measuredFile, open, readingOf, sheetUrl, standing, typed } from './readings';

const row: BenchRow = {
  number: 3,
  name: 'wheel load front left',
  what: 'Load on the front left wheel',
  of: 'wheel load',
  at: 'front left',
  side: '',
  unit: 'g',
  angle: '',
  load: '',
  volts: '',
  taken: '',
};

describe('readings', () => {
  it('gives a bare number the unit beside the field, and leaves one with a unit alone', () => {
    expect(typed(' 690 ', 'g')).toBe('690 g');
    expect(typed('65,4', 'mm')).toBe('65.4 mm');
    expect(typed('−3.5', '°')).toBe('-3.5 °');
    expect(typed('24.3 oz', 'g')).toBe('24.3 oz');
    expect(typed('heavy', 'g')).toBe('heavy');
  });

  it('writes a reading as the document has it', () => {
    expect(readingOf(row, '690')).toBe('{of: wheel load, at: front left, is: 690 g}');
    expect(readingOf(row, 'a lot: {')).toBe('{of: wheel load, at: front left, is: "a lot: {"}');
    expect(readingOf({ ...row, of: 'raised load', at: 'rear', angle: '20°' }, '1455')).toBe(
      '{of: raised load, at: rear, angle: 20°, is: 1455 g}',
    );
    expect(readingOf({ ...row, of: 'wheelbase', at: '', side: 'left', unit: 'mm' }, '312')).toBe(
      '{of: wheelbase, side: left, is: 312 mm}',
    );
  });

  it('finds names that are free', () => {
    expect(freeName('a', ['b'])).toBe('a');
    expect(freeName('a', ['a', 'a 2'])).toBe('a 3');
    expect(measuredFile('club/b.rig.yaml', [])).toBe('club/b-measured.rig.yaml');
    expect(measuredFile('b.rig.yaml', ['b-measured.rig.yaml'])).toBe('b-measured-2.rig.yaml');
  });

  it('offers what was not read yet', () => {
    const sheet: BenchSheet = {
      name: 'x',
      count: 2,
      findings: [],
      stages: [
        { title: 'A', picture: '', do: [], care: [], rows: [row, { ...row, number: 4, taken: '3 g' }] },
        { title: 'B', picture: '', do: [], care: [], rows: [{ ...row, taken: '3 g' }] },
      ],
    };
    expect(open(sheet).map((s) => [s.title, s.rows.length])).toEqual([['A', 1]]);
  });

  it('keeps what is far out at the edge of the chart, and says so', () => {
    expect(along(0, 3, 50)).toEqual({ x: 50, beyond: false });
    expect(along(-1.5, 3, 50)).toEqual({ x: 25, beyond: false });
    expect(along(9, 3, 50)).toEqual({ x: 100, beyond: true });
  });

  it('says what is the matter with a reading', () => {
    const r = { used: true, fits: true, why: '' } as BenchReading;
    expect(standing(r)).toBe('');
    expect(standing({ ...r, fits: false })).toBe('does not fit the others');
    expect(standing({ ...r, used: false, why: 'it is set aside' })).toBe('it is set aside');
  });

  it('asks for the sheet of this revision', () => {
    expect(sheetUrl('7', 3, { format: 'pdf', paper: 'a4' })).toBe(
      '/api/rigs/7/bench/sheet/paper?format=pdf&paper=a4&r=3',
    );
  });
});
