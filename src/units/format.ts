import { findUnit, fromSi } from './parse.js';
import type { Dimension } from './unit-table.js';

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
  return text.startsWith('-') ? (Number(text) === 0 ? text.slice(1) : minus + text.slice(1)) : text;
}

/** A figure to so many significant digits, never in exponent form: 0.261799 to 3 is `0.262`. */
export function formatSignificant(value: number, digits: number): string {
  if (!Number.isFinite(value)) return 'n/a';
  if (value === 0) return '0';
  const decimals = digits - 1 - Math.floor(Math.log10(Math.abs(value)));
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

/** The unit as it is printed: `kgf/cm²` for `kgf/cm2`, `°C` for `C`. */
export function shownUnit(unitName: string): string {
  if (unitName === 'C' || unitName === 'degC') return '°C';
  if (unitName === 'F' || unitName === 'degF') return '°F';
  return unitName.replace(/(?<=[a-z])2/g, '²').replace(/(?<=[a-z])3/g, '³');
}
