/** The sign a gauge puts between whole and fraction. */
export type DecimalSign = '.' | ',';

/** A number as gauges print it: sign, blanks after the sign, digits, one decimal sign, exponent. */
export const numberSource = String.raw`[+-]?[ ]*(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?`;

const wholeNumber = new RegExp(`^${numberSource}$`);

/**
 * Reads a number strictly: the whole text, one decimal sign, and that the one agreed on. Undefined otherwise, never
 * a number from the part that happened to fit: `12.3.4`, `1,250.0` and `0x1F` are no numbers.
 * @example readNumber('+ 0253.70', '.') // 253.7
 * @example readNumber('253,7', ',') // 253.7
 * @example readNumber('253,7', '.') // undefined
 */
export function readNumber(text: string, decimal: DecimalSign): number | undefined {
  if (!wholeNumber.test(text)) return undefined;
  if (text.includes(decimal === '.' ? ',' : '.')) return undefined;
  const plain = text.includes(' ') ? text.replaceAll(' ', '') : text;
  const value = Number(decimal === '.' ? plain : plain.replace(',', '.'));
  return Number.isFinite(value) ? value : undefined;
}

/** Digits behind the decimal sign: the step of what was printed. `253.70` has 2. */
export function printedDecimals(text: string): number {
  const match = /[.,](\d*)/.exec(text);
  return match?.[1]?.length ?? 0;
}
