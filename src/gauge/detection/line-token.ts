import { readMark } from '../wire/no-value.js';
import type { DecimalSign, ThousandsSign } from '../wire/number.js';

/** A piece of a line: a number or the mark in its place, a word, a date or time, a blank, or any other sign. */
export interface LineToken {
  readonly kind: 'number' | 'word' | 'time' | 'blank' | 'sign';
  readonly text: string;
}

/** How numbers are written in some lines. */
export interface NumberSigns {
  readonly decimal: DecimalSign;
  readonly thousands?: ThousandsSign;
  /** The comma may be the decimal sign, part thousands or part cells. */
  readonly doubtful?: true;
}

/** `14.03.2026`, `3/14/2026`. */
const date = /\d{1,2}([./])\d{1,2}\1\d{4}(?![\d.])/;

const shapes = ({ decimal, thousands }: NumberSigns): readonly [LineToken['kind'], RegExp][] => [
  ['time', new RegExp(date, 'y')],
  ['time', /\d{4}-\d{2}-\d{2}(?:T\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?Z?)?|\d{1,2}:\d{2}:\d{2}(?:[.,]\d+)?/y],
  ...(thousands === undefined
    ? []
    : [
        ['number', new RegExp(`(?:[+-] *)?\\d{1,3}(?:[${thousands}]\\d{3})+(?:[${decimal}]\\d*)?`, 'y')] as [
          LineToken['kind'],
          RegExp,
        ],
      ]),
  [
    'number',
    decimal === '.' ? /(?:[+-] *)?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?/y : /(?:[+-] *)?(?:\d+(?:,\d*)?|,\d+)/y,
  ],
  ['number', /[-*?#]{2,}(?:[.,]-+)?/y],
  ['word', /(?:mm|m|in|ft)H2O(?![A-Za-z])/iy],
  [
    'word',
    /[°º]?[A-Za-z][A-Za-z_]*(?:\([gGaA]\))?(?:\/[A-Za-z]+(?:[²2]|\^2)?)?(?:\d*(?=[ ]*[=:])|[1-9](?=[ ]+(?:[+-][ ]*)?\d))?/y,
  ],
  ['blank', /[ \t]+/y],
  ['sign', /[\s\S]/y],
];

/** Cuts a line into tokens; every character is in one of them. */
export function tokensOf(line: string, signs: NumberSigns): readonly LineToken[] {
  const tokens: LineToken[] = [];
  const tries = shapes(signs);
  for (let at = 0; at < line.length; ) {
    for (const [kind, shape] of tries) {
      shape.lastIndex = at;
      const text = shape.exec(line)?.[0];
      if (text === undefined || text === '') continue;
      at += text.length;
      tokens.push({ kind: kind === 'word' && isWordMark(text) ? 'number' : kind, text });
      break;
    }
  }
  return tokens;
}

/** `OL` or `OVER` stands where a number would; a lone `E` or `F` does not. */
const isWordMark = (text: string): boolean => text.length > 1 && readMark(text) !== undefined;

/**
 * How the lines write numbers. A point between digits settles the decimal sign, unless a comma behind groups of three
 * follows it; a comma is one when no line has such a point and it does not part cells: at most one between two blanks
 * or semicolons.
 */
export function numberSigns(heard: readonly string[]): NumberSigns {
  const lines = heard.map((line) => line.replace(date, ' '));
  const some = (shape: RegExp): boolean => lines.some((line) => shape.test(line));
  if (some(/(?<!\d)[1-9]\d{0,2}\.\d{3},\d/)) return { decimal: ',', thousands: '.' };
  if (some(/(?<![\d.])[1-9]\d{0,2}(?:,\d{3})+\.\d/)) {
    const partsCells = some(/,(?!\d{3})/);
    return { decimal: '.', thousands: ',', ...(partsCells ? { doubtful: true } : {}) };
  }
  const quote = some(/\d'\d{3}(?!\d)/) ? ({ thousands: "'" } as const) : {};
  if (some(/\d\.\d/)) return { decimal: '.', ...quote };
  const cells = lines.flatMap((line) => line.split(/[;\s]+/));
  const withComma = cells.filter((cell) => /\d,\d/.test(cell));
  const isDecimal = withComma.length > 0 && withComma.every((cell) => cell.split(',').length === 2);
  if (!isDecimal) return { decimal: '.', ...quote };
  const inThrees = withComma.every((cell) => /(?<![\d,])[1-9]\d{0,2},\d{3}(?!\d)/.test(cell));
  return { decimal: ',', ...quote, ...(inThrees ? { doubtful: true } : {}) };
}
