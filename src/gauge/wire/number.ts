/** The sign a gauge puts between whole and fraction. */
export type DecimalSign = '.' | ',';

/** The sign a gauge puts between groups of three digits. */
export const thousandsSigns = [',', '.', "'", ' '] as const;
export type ThousandsSign = (typeof thousandsSigns)[number];

/** A number as gauges print it: sign, blanks after the sign, digits, one decimal sign, exponent. */
export const numberSource = String.raw`[+-]?[ ]*(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?`;

/** The same with groups of three digits. */
export const groupedNumberSource = (thousands: ThousandsSign): string =>
  String.raw`[+-]?[ ]*\d{1,3}(?:[${thousands}]\d{3})+(?:[.,]\d*)?|${numberSource}`;

const wholeNumber = new RegExp(`^${numberSource}$`);

/**
 * Reads a number strictly: the whole text, one decimal sign, and that the one agreed on. Undefined otherwise, never
 * a number from the part that happened to fit: `12.3.4`, `0x1F`, and without its sign set `1,250.0` are no numbers.
 * @example readNumber('+ 0253.70', '.') // 253.7
 * @example readNumber('253,7', ',') // 253.7
 * @example readNumber('253,7', '.') // undefined
 * @example readNumber('12,341.3', '.', ',') // 12341.3
 */
export function readNumber(written: string, decimal: DecimalSign, thousands?: ThousandsSign): number | undefined {
  const text = thousands === undefined ? written : ungrouped(written, decimal, thousands);
  if (!wholeNumber.test(text)) return undefined;
  if (text.includes(decimal === '.' ? ',' : '.')) return undefined;
  const plain = text.includes(' ') ? text.replaceAll(' ', '') : text;
  const value = Number(decimal === '.' ? plain : plain.replace(',', '.'));
  return Number.isFinite(value) ? value : undefined;
}

/** Without its thousands signs, which part groups of three digits from the decimal sign on or there are none. */
function ungrouped(text: string, decimal: DecimalSign, thousands: ThousandsSign): string {
  const [whole = '', ...rest] = text.split(decimal);
  const digits = whole.replace(/^[+-]? */, '');
  const groups = digits.split(thousands);
  const sound = groups.every((group, index) => (index === 0 ? /^\d{1,3}$/ : /^\d{3}$/).test(group));
  if (groups.length === 1 || !sound) return text;
  return [whole.slice(0, whole.length - digits.length) + groups.join(''), ...rest].join(decimal);
}

/** Digits behind the decimal sign: the step of what was printed. `253.70` has 2. */
export function printedDecimals(text: string, decimal: DecimalSign): number {
  const match = (decimal === '.' ? /\.(\d*)/ : /,(\d*)/).exec(text);
  return match?.[1]?.length ?? 0;
}
