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
