/**
 * Units of what a person reads. The program answers in mm, g, N and degrees; this file alone turns them into what is shown,
 * and gives a bare number that was typed its unit. Nothing else in the page converts.
 */
export type System = 'metric' | 'us';
export type Dimension =
  | 'length'
  | 'mass'
  | 'force'
  | 'angle'
  | 'share'
  | 'number'
  | 'torque'
  | 'speed'
  | 'spin'
  | 'current'
  | 'voltage'
  | 'power'
  | 'stress'
  | 'temperature'
  | 'time'
  | 'rate'
  | 'roll rate'
  | 'frequency'
  | 'viscosity'
  | 'damping'
  | 'shock speed';

interface Shown {
  symbol: string;
  factor: number; // shown = value · factor + offset
  offset?: number;
  digits: number;
}

// International yard and pound agreement of 1959 (1 in = 25.4 mm, 1 lb = 0.45359237 kg); standard gravity, 3rd CGPM 1901.
const inch = 25.4;
const ounce = 453.59237 / 16; // g
const poundForce = 0.45359237 * 9.80665; // N
const mile = 1609.344; // m

/** A dimension that both systems read in the same unit. */
const alike = (symbol: string, digits: number): Record<System, Shown> => ({
  metric: { symbol, factor: 1, digits },
  us: { symbol, factor: 1, digits },
});

const table: Record<Dimension, Record<System, Shown>> = {
  length: { metric: { symbol: 'mm', factor: 1, digits: 1 }, us: { symbol: 'in', factor: 1 / inch, digits: 3 } },
  mass: { metric: { symbol: 'g', factor: 1, digits: 0 }, us: { symbol: 'oz', factor: 1 / ounce, digits: 2 } },
  force: { metric: { symbol: 'N', factor: 1, digits: 2 }, us: { symbol: 'lbf', factor: 1 / poundForce, digits: 3 } },
  angle: { metric: { symbol: '°', factor: 1, digits: 1 }, us: { symbol: '°', factor: 1, digits: 1 } },
  share: { metric: { symbol: '%', factor: 100, digits: 1 }, us: { symbol: '%', factor: 100, digits: 1 } },
  number: alike('', 3),
  torque: {
    metric: { symbol: 'N·mm', factor: 1, digits: 1 },
    us: { symbol: 'ozf·in', factor: 16 / (poundForce * inch), digits: 2 },
  },
  speed: { metric: { symbol: 'm/s', factor: 1, digits: 2 }, us: { symbol: 'mph', factor: 3600 / mile, digits: 1 } },
  spin: alike('rpm', 0),
  current: alike('A', 1),
  voltage: alike('V', 1),
  power: alike('W', 1),
  stress: {
    metric: { symbol: 'MPa', factor: 1, digits: 1 },
    us: { symbol: 'psi', factor: inch ** 2 / poundForce, digits: 0 },
  },
  temperature: {
    metric: { symbol: '°C', factor: 1, digits: 0 },
    us: { symbol: '°F', factor: 1.8, offset: 32, digits: 0 },
  },
  time: alike('s', 0),
  rate: {
    metric: { symbol: 'N/mm', factor: 1, digits: 3 },
    us: { symbol: 'lbf/in', factor: inch / poundForce, digits: 2 },
  },
  'roll rate': {
    metric: { symbol: 'N·mm/°', factor: 1, digits: 1 },
    us: { symbol: 'ozf·in/°', factor: 16 / (poundForce * inch), digits: 2 },
  },
  frequency: alike('Hz', 2),
  viscosity: alike('cSt', 0),
  // As the command line says it: force at a speed in SI, since no hobby rule of thumb knows another.
  damping: alike('N·s/m', 1),
  'shock speed': {
    metric: { symbol: 'mm/s', factor: 1, digits: 0 },
    us: { symbol: 'in/s', factor: 1 / inch, digits: 1 },
  },
};

export const symbol = (dimension: Dimension, system: System): string => table[dimension][system].symbol;

/** The number alone, in the system's unit. */
export const toShown = (value: number, dimension: Dimension, system: System): number =>
  value * table[dimension][system].factor + (table[dimension][system].offset ?? 0);

/** Back from what is shown to the program's own unit. */
export const fromShown = (shown: number, dimension: Dimension, system: System): number =>
  (shown - (table[dimension][system].offset ?? 0)) / table[dimension][system].factor;

/** Digits behind the point; more = how many more than usual (in either system, so that the resolution stays alike). */
export const digitsOf = (dimension: Dimension, system: System, more = 0): number =>
  Math.max(0, table[dimension][system].digits + more);

/** The number as read, with a true minus, never as "−0.0"; a dash for what does not exist. */
export function fixed(value: number | null | undefined, digits: number): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return '–';
  const text = value.toFixed(digits);
  return /^-0?\.?0*$/.test(text) ? text.slice(1) : text.replace('-', '−');
}

/** Number and unit, as everywhere on the page. */
export function show(value: number | null | undefined, dimension: Dimension, system: System, more = 0): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return '–';
  const text = fixed(toShown(value, dimension, system), digitsOf(dimension, system, more));
  const unit = symbol(dimension, system);
  return unit === '' || unit === '°' ? text + unit : `${text}\u00a0${unit}`;
}

/** As show, with a plus before what grew. */
export function showChange(value: number | null | undefined, dimension: Dimension, system: System, more = 0): string {
  const text = show(value, dimension, system, more);
  return value !== null && value !== undefined && value > 0 && !/^[0.]+(?![\d.])/.test(text) ? `+${text}` : text;
}

const bare = /^[+\-−]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

/**
 * What was typed, as the document takes it: a bare number gets the unit that stands beside the field, so that it means what
 * the person saw; anything with a unit of its own passes as it is. The program judges the rest.
 */
export function withUnit(typed: string, dimension: Dimension, system: System): string {
  const text = typed
    .trim()
    .replace('−', '-')
    .replace(/^(\d+),(\d+)/, '$1.$2');
  if (!bare.test(text)) return text;
  const unit = symbol(dimension, system);
  return unit === '' || unit === '°' ? text : `${text} ${unit}`;
}
