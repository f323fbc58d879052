import { DwellmarkError, type ErrorPlace } from './error.js';
import { type Pressure, pressurePa, type Temperature, temperatureK } from './quantity.js';
import { type Dimension, type Unit, unitTable } from './unit-table.js';

/** One number in the strict grammar of a job file: sign, digits, point, exponent; then an optional unit. */
const quantityShape = /^\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(\S.*?)?\s*$/;

/** The unit of that name in that dimension, or undefined. `kgf/cm²` and `kgf/cm2` are one. */
export function findUnit(dimension: Dimension, name: string): Unit | undefined {
  const plainName = name.replaceAll('²', '2').replaceAll('³', '3').replaceAll('·', ' ');
  const units = unitTable[dimension];
  return Object.hasOwn(units, plainName) ? units[plainName] : undefined;
}

/**
 * Reads `160 bar`, `0.2 mL/min`, `-12.5 °C`: a number in SI.
 * @throws DwellmarkError (`input`) when the number or the unit is missing or the unit is not one of the dimension.
 * @example parseQuantity('160 bar', 'pressure') // 16000000
 */
export function parseQuantity(text: string, dimension: Dimension, place: ErrorPlace = {}): number {
  const match = quantityShape.exec(text);
  const names = Object.keys(unitTable[dimension]).filter((name) => name !== '');
  const advice = `Write a number and a unit, for example "10 ${names[0] ?? ''}" (known: ${names.slice(0, 12).join(', ')}).`;
  if (!match?.[1]) throw new DwellmarkError('input', `"${text}" is not a ${spoken(dimension)}`, { place, advice });
  const unitName = match[2] ?? '';
  const unit = findUnit(dimension, unitName);
  if (!unit) {
    const what =
      unitName === '' ? 'has no unit' : `has the unit "${unitName}", which is not one of ${spoken(dimension)}`;
    throw new DwellmarkError('input', `"${text}" ${what}`, { place, advice });
  }
  const si = toSi(Number(match[1]), unit);
  if (!Number.isFinite(si)) throw new DwellmarkError('input', `"${text}" is too large a number`, { place });
  return si;
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
