import { readPressureUnit, readTemperatureUnit } from '../wire/wire-unit.js';
import type { Column } from './line-roles.js';

/** Words before a number that is no pressure of now: another quantity, a count, or a value kept from before. */
const otherLabel =
  /^(?:max|min|peak|pk|hi|lo|high|low|avg|mean|set|sp|zero|tare|ref|rate|dp|diff|delta|n|no|nr|cnt|count|seq|id|addr|adr|ch|chan|channel|time|t_s|sec|ms|elapsed|bat|batt|vbat|rh|hum|level|dev|flow|q|pos|freq)\d?$/i;
/** Units behind a number that is neither a pressure nor a temperature. */
const otherUnit = /^(?:s|sec|secs|ms|min|h|hr|v|mv|ma|hz|rpm|mm|l|ml|l\/min|lpm)$/i;

/** Numbers in a column, NaN where a mark stands. */
const valuesOf = (column: Column, decimal: string): number[] =>
  column.texts.map((text) => Number(decimal === ',' ? text.replace(',', '.') : text.replaceAll(',', '')));

/** Steps of clocks and counts, but for their power of ten. */
const roundSteps = [1, 2, 2.5, 5, 10];

/** Rises by about the same round step from line to line: a clock or a count. */
function isClock(column: Column, decimal: string): boolean {
  const values = valuesOf(column, decimal);
  const steps = values.slice(1).map((value, index) => value - (values[index] as number));
  const [least, most] = [Math.min(...steps), Math.max(...steps)];
  const rounding = Math.abs(values.at(-1) ?? 0) * 1e-9 + (/[.,]/.test(column.texts[0] ?? '') ? 0.011 : 0);
  if (steps.length < 3 || !(least > 0) || most > 1.3 * least + rounding) return false;
  const mean = ((values.at(-1) as number) - (values[0] as number)) / steps.length;
  const digits = mean / 10 ** Math.floor(Math.log10(mean));
  return roundSteps.some((round) => Math.abs(digits / round - 1) < 0.02);
}

/** Which number columns are something else than a pressure or a temperature, and why, by their place. */
export function otherNumbers(
  columns: readonly Column[],
  numbers: readonly number[],
  labelOf: (index: number) => string | undefined,
  decimal: string,
): ReadonlyMap<number, string> {
  const others = new Map<number, string>();
  for (const index of numbers) {
    const label = labelOf(index);
    const unit = columns[index + 1]?.kind === 'blank' ? columns[index + 2] : columns[index + 1];
    const unitText = unit?.texts[0] ?? '';
    if (label !== undefined && otherLabel.test(label)) others.set(index, `is called "${label}"`);
    else if (unitText === '%' || (unit?.kind === 'word' && otherUnit.test(unitText)))
      others.set(index, `is in ${unitText}`);
  }
  const isNamed = (index: number): boolean => labelOf(index) !== undefined || isUnitOf(columns, index);
  const clocks = numbers.filter(
    (index) => !others.has(index) && !isNamed(index) && isClock(columns[index] as Column, decimal),
  );
  // Where all that is left rises evenly, it may be the pressure.
  const left = numbers.filter((index) => !others.has(index) && !clocks.includes(index) && !isStill(columns[index]));
  if (left.length > 0) for (const index of clocks) others.set(index, 'rises evenly, as a clock or a count does');
  return others;
}

/** A unit of pressure or temperature stands right behind. */
function isUnitOf(columns: readonly Column[], index: number): boolean {
  const word = columns[index + 1]?.kind === 'word' ? columns[index + 1] : columns[index + 2];
  const text = word?.kind === 'word' ? (word.texts[0] ?? '') : '';
  return readPressureUnit(text) !== undefined || readTemperatureUnit(text) !== undefined;
}

/** The same whole number in every line. */
export const isStill = (column: Column | undefined): boolean =>
  column === undefined || (new Set(column.texts).size === 1 && !/\d[.,]\d/.test(column.texts[0] ?? ''));
