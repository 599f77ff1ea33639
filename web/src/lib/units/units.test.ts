import { describe, expect, it } from 'vitest';
import { fixed, fromShown, show, showChange, toShown, withUnit } from './units';

describe('conversion', () => {
  // NIST SP 811 (2008), appendix B.8: factors to SI, read as printed there.
  it.each([
    ['length', 25.4, 1],
    ['mass', 28.34952, 1],
    ['force', 4.448222, 1],
    ['torque', 7.061552, 1],
    ['rate', 0.1751268, 1], // lbf/in: 1.751268 E+02 N/m
    ['roll rate', 7.061552, 1],
    ['shock speed', 25.4, 1],
    ['speed', 0.44704, 1],
    ['stress', 0.006894757, 1],
    ['temperature', 100, 212],
    ['temperature', -40, -40],
  ] as const)('%s agrees with NIST SP 811', (dimension, metric, us) => {
    expect(toShown(metric, dimension, 'us')).toBeCloseTo(us, 6);
  });

  it.each(['length', 'mass', 'force', 'angle', 'share', 'number', 'torque', 'speed', 'stress', 'temperature'] as const)(
    '%s comes back',
    (dimension) => {
      for (const system of ['metric', 'us'] as const) {
        expect(fromShown(toShown(-123.456, dimension, system), dimension, system)).toBeCloseTo(-123.456, 9);
      }
    },
  );
});

describe('what is read', () => {
  it('never shows a negative nought', () => {
    expect(fixed(-0.04, 1)).toBe('0.0');
    expect(fixed(-0.06, 1)).toBe('−0.1');
    expect(fixed(-0, 0)).toBe('0');
  });
  it('shows a dash for what does not exist', () => {
    expect(show(null, 'length', 'metric')).toBe('–');
    expect(show(Number.NaN, 'mass', 'us')).toBe('–');
  });
  it('shows which way something changed, also when it is less than one', () => {
    expect(showChange(0.3, 'length', 'metric')).toBe('+0.3\u00a0mm');
    expect(showChange(0.04, 'length', 'metric')).toBe('0.0\u00a0mm');
    expect(showChange(-0.3, 'angle', 'metric')).toBe('−0.3°');
  });
  it('carries the unit', () => {
    expect(show(25.4, 'length', 'us')).toBe('1.000\u00a0in');
    expect(show(12.34, 'angle', 'metric')).toBe('12.3°');
    expect(show(0.4217, 'share', 'metric')).toBe('42.2\u00a0%');
  });
  it('signs a change, but not nought', () => {
    expect(showChange(1.26, 'length', 'metric')).toBe('+1.3\u00a0mm');
    expect(showChange(0.01, 'length', 'metric')).toBe('0.0\u00a0mm');
    expect(showChange(-2, 'mass', 'metric')).toBe('−2\u00a0g');
  });
});

describe('what is typed', () => {
  it('gives a bare number the unit beside the field', () => {
    expect(withUnit('182', 'mass', 'metric')).toBe('182 g');
    expect(withUnit(' 2.2 ', 'length', 'us')).toBe('2.2 in');
    expect(withUnit('−4', 'length', 'metric')).toBe('-4 mm');
    expect(withUnit('12,5', 'length', 'metric')).toBe('12.5 mm');
  });
  it('leaves a unit of its own alone', () => {
    expect(withUnit('6.4 oz', 'mass', 'metric')).toBe('6.4 oz');
    expect(withUnit('four', 'mass', 'metric')).toBe('four');
  });
});
