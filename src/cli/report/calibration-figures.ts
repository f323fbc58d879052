import { formatNumber, valueIn } from '../../units/index.js';
import type { GaugeScale } from './gauge-text.js';

/** A pressure without its unit, to the last digit that the gauge shows. @example fromSiLevel(25e6, { unit: 'bar', decimals: 1, oilUnit: 'C' }) // '250.0' */
export const fromSiLevel = (pa: number, { unit, decimals }: GaugeScale): string =>
  formatNumber(valueIn(pa, 'pressure', unit), decimals);

/** A difference with its sign, one digit finer than the gauge shows; zero has none. @example '+0.05' */
export function fromSiDifference(pa: number, { unit, decimals }: GaugeScale): string {
  const text = formatNumber(valueIn(pa, 'pressure-difference', unit), decimals + 1);
  return pa > 0 && Number(text) !== 0 ? `+${text}` : text;
}
