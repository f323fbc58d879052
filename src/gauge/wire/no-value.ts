import { readingFlags } from '../reading.js';

/** What a gauge writes where it has no value to give. Common practice, no source. */
const marks: readonly { readonly shape: RegExp; readonly flag: number; readonly words: string }[] = [
  {
    shape: /^\+?(?:OL|O\.L\.?|OVER|OVR|OVF|OVFL|OVERFLOW|OFL|HHH+|\^\^+|>>+|\+?INF)$/i,
    flag: readingFlags.overRange,
    words: 'over its range',
  },
  {
    shape: /^(?:-OL|UNDER|UNDR|UNDERFLOW|UFL|LLL+|__+|<<+|-INF)$/i,
    flag: readingFlags.underRange,
    words: 'under its range',
  },
  {
    shape: /^(?:NAN|N\/A|NULL|NONE|ERR(?:OR)?\d{0,3}|E\d{1,3}|OPEN|-{2,}(?:[.,]-+)?|-|\*{2,}|\?{2,}|#{2,})$/i,
    flag: readingFlags.noValue,
    words: 'without a value',
  },
];

/** What may stand where a number is expected, as the source of a regular expression. */
export const markSource = String.raw`[+-]?(?:OL|O\.L\.?|OVER|OVR|OVFL?|OVERFLOW|OFL|HHH+|\^\^+|>>+|INF|UNDER|UNDR|UNDERFLOW|UFL|LLL+|__+|<<+|NAN|N\/A|NULL|NONE|ERR(?:OR)?\d{0,3}|OPEN)|-{2,}(?:[.,]-+)?|\*{2,}|\?{2,}|#{2,}`;

/** Why there is no number: a bit of {@link readingFlags} and the words for it. */
export interface NoValue {
  readonly flag: number;
  readonly words: string;
}

/** Above this a number is the mark of a failed measurement in the SCPI manner (9.9E37), not a pressure. */
const scpiNoValue = 9.89e37;

/**
 * The no-value mark in this text, or undefined when it is none. A mark never becomes a number.
 * @example readMark('OL')?.words // 'over its range'
 * @example readMark('12.0') // undefined
 */
export function readMark(text: string): NoValue | undefined {
  const bare = text.trim();
  if (bare === '') return { flag: readingFlags.noValue, words: 'without a value' };
  for (const mark of marks) if (mark.shape.test(bare)) return { flag: mark.flag, words: mark.words };
  return undefined;
}

/** A number that stands for no value: 9.9E37 and its negative, or one of the instrument's own (32767). */
export function readMarkNumber(value: number, ownMarks: readonly number[] = []): NoValue | undefined {
  if (value >= scpiNoValue) return { flag: readingFlags.overRange, words: 'over its range' };
  if (value <= -scpiNoValue) return { flag: readingFlags.underRange, words: 'under its range' };
  if (ownMarks.includes(value)) return { flag: readingFlags.noValue, words: 'without a value' };
  return undefined;
}
