import { DwellmarkError, type ErrorPlace } from './error.js';
import { type Dimension, type Unit, unitTable, usualUnits } from './unit-table.js';

declare const kind: unique symbol;

/**
 * Pressure, pressure difference, temperature and temperature difference are four types: the difference of two
 * pressures on one gauge loses its offset and gain errors, and a difference of 9 degF is 5 K where 9 degF is 260 K.
 * Every other quantity is a plain number in SI with its unit in the name (`volumeM3`, `rampMaxPaPerS`, `dwellS`).
 */
export type Pressure = number & { readonly [kind]: 'pressure' };
export type PressureDifference = number & { readonly [kind]: 'pressure difference' };
export type Temperature = number & { readonly [kind]: 'temperature' };
export type TemperatureDifference = number & { readonly [kind]: 'temperature difference' };

/** Gauge pressure in pascals, 0 = atmosphere. */
export const pressurePa = (value: number): Pressure => value as Pressure;
/** Difference of two pressures in pascals. */
export const pressureDifferencePa = (value: number): PressureDifference => value as PressureDifference;
/** Absolute temperature in kelvins. */
export const temperatureK = (value: number): Temperature => value as Temperature;
/** Difference of two temperatures in kelvins. */
export const temperatureDifferenceK = (value: number): TemperatureDifference => value as TemperatureDifference;

/**
 * How far pressure fell from `start` to `end`; positive for a fall.
 * @example fall(pressurePa(250e5), pressurePa(245e5)) // 5e5
 */
export const fall = (start: Pressure, end: Pressure): PressureDifference => pressureDifferencePa(start - end);

/** A pressure moved by a difference. */
export const moved = (from: Pressure, by: PressureDifference): Pressure => pressurePa(from + by);

/** One number in the strict grammar of a job file: sign, digits, point, exponent; then an optional unit. */
const quantityShape = /^\s*([+\-−]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(\S.*?)?\s*$/;

/** The unit of that name in that dimension, or undefined. `kgf/cm²` and `kgf/cm2` are one, and so are both mu signs. */
export function findUnit(dimension: Dimension, name: string): Unit | undefined {
  const plainName = name.replaceAll('²', '2').replaceAll('³', '3').replaceAll('·', ' ').replaceAll('μ', 'µ');
  const units = unitTable[dimension];
  return Object.hasOwn(units, plainName) ? units[plainName] : undefined;
}

/**
 * Reads `160 bar`, `0.2 mL/min`, `-12.5 °C`: a number in SI.
 * @throws DwellmarkError (`input`) when the number or the unit is missing, the unit is not one of the dimension, or
 * the temperature lies below absolute zero.
 * @example parseQuantity('160 bar', 'pressure') // 16000000
 */
export function parseQuantity(text: string, dimension: Dimension, place: ErrorPlace = {}): number {
  const refuse = (what: string, advice = adviceFor(dimension)): DwellmarkError =>
    new DwellmarkError('input', `"${text}" ${what}`, { place, advice });
  const match = quantityShape.exec(text);
  if (!match?.[1]) throw refuse(`is not a ${spoken(dimension)}`);
  const unitName = match[2] ?? '';
  const unit = findUnit(dimension, unitName);
  if (!unit) {
    if (/^,\d/.test(unitName))
      throw refuse('has a decimal comma', 'Write a decimal point, and nothing between thousands.');
    if (unitName === '') throw refuse('has no unit');
    throw refuse(`has the unit "${unitName}", which is not one of ${spoken(dimension)}`);
  }
  const si = toSi(Number(match[1].replace('−', '-')), unit);
  if (!Number.isFinite(si)) throw refuse('is too large a number', 'Check the exponent.');
  if (dimension === 'temperature' && si < 0) throw refuse('lies below absolute zero', 'Check the sign and the unit.');
  return si;
}

function adviceFor(dimension: Dimension): string {
  const [first, ...others] = usualUnits[dimension];
  return `Write a number and a unit, for example "10 ${first}" (also ${others.join(', ')}).`;
}

/** A gauge pressure in pascals: `parsePressure('3000 psi')` is 20 684 271.88 Pa. */
export const parsePressure = (text: string, place: ErrorPlace = {}): Pressure =>
  pressurePa(parseQuantity(text, 'pressure', place));

/** An absolute temperature in kelvins: `parseTemperature('20 °C')` is 293.15 K. */
export const parseTemperature = (text: string, place: ErrorPlace = {}): Temperature =>
  temperatureK(parseQuantity(text, 'temperature', place));

/** A number in a unit, in SI. */
export const toSi = (value: number, unit: Unit): number => value * unit.factor + (unit.offset ?? 0);

/** A number in SI, in a unit. */
export const fromSi = (si: number, unit: Unit): number => (si - (unit.offset ?? 0)) / unit.factor;

/** The dimension's name as a person says it. */
export const spoken = (dimension: Dimension): string => dimension.replaceAll('-', ' ');

const minus = '−';

/**
 * A number in SI as a person reads it: `formatQuantity(1.6e7, 'pressure', 'bar', 1)` is `160.0 bar`.
 * A proper minus sign, a no-break space before the unit, and no negative zero.
 */
export function formatQuantity(si: number, dimension: Dimension, unitName: string, decimals: number): string {
  const number = formatIn(si, dimension, unitName, decimals);
  const shown = shownUnit(unitName);
  return shown === '' ? number : `${number}\u00a0${shown}`;
}

/** The figure alone, in a unit. */
export function formatIn(si: number, dimension: Dimension, unitName: string, decimals: number): string {
  return formatNumber(valueIn(si, dimension, unitName), decimals);
}

/** The number in a unit, not yet text. A unit that does not exist is a bug, hence a plain Error. */
export function valueIn(si: number, dimension: Dimension, unitName: string): number {
  const unit = findUnit(dimension, unitName);
  if (!unit) throw new Error(`no unit "${unitName}" for ${dimension}`);
  return fromSi(si, unit);
}

/** A figure with fixed decimals and a proper minus sign; `n/a` when it is not finite. */
export function formatNumber(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return 'n/a';
  const text = value.toFixed(decimals);
  if (!text.startsWith('-')) return text;
  return Number(text) === 0 ? text.slice(1) : minus + text.slice(1);
}

/**
 * A figure to so many significant digits, never in exponent form; digits before the point are all kept.
 * @example formatSignificant(0.261799, 3) // '0.262'; formatSignificant(9.9996, 3) // '10.0'
 */
export function formatSignificant(value: number, digits: number): string {
  if (!Number.isFinite(value)) return 'n/a';
  const rounded = Number(value.toPrecision(digits));
  if (Math.abs(rounded) < 1e-12) return '0';
  const decimals = digits - 1 - Math.floor(Math.log10(Math.abs(rounded)));
  return formatNumber(value, Math.min(12, Math.max(0, decimals)));
}

/**
 * How many decimals a value wants when its standard uncertainty is known: two significant digits of the uncertainty.
 * @example decimalsFor(0.0423) // 3
 */
export function decimalsFor(uncertainty: number): number {
  if (!(uncertainty > 0) || !Number.isFinite(uncertainty)) return 2;
  return Math.min(9, Math.max(0, 1 - Math.floor(Math.log10(uncertainty))));
}

/** The unit as it is printed: `kgf/cm²` for `kgf/cm2`, `°C` for `C`, `psi/°F` for `psi/F`. */
export function shownUnit(unitName: string): string {
  return unitName
    .replace(/(?<=^|\/)(?:deg|°)?([CF])(?=$|\/)/g, '°$1')
    .replace(/(?<=[a-z])2/g, '²')
    .replace(/(?<=[a-z])3/g, '³')
    .replace(/^um$/, 'µm');
}
