import { DwellmarkError, type ErrorPlace } from './error.js';
import { type Pressure, pressurePa, type Temperature, temperatureK } from './quantity.js';
import { type Dimension, type Unit, unitTable, usualUnits } from './unit-table.js';

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
