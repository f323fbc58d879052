import { readMark } from '../wire/no-value.js';
import type { DecimalSign } from '../wire/number.js';

/** A piece of a line: a number or the mark in its place, a word, a date or time, a blank, or any other sign. */
export interface LineToken {
  readonly kind: 'number' | 'word' | 'time' | 'blank' | 'sign';
  readonly text: string;
}

const shapes = (decimal: DecimalSign): readonly [LineToken['kind'], RegExp][] => [
  ['time', /\d{4}-\d{2}-\d{2}(?:T\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?Z?)?|\d{1,2}:\d{2}:\d{2}(?:[.,]\d+)?/y],
  [
    'number',
    decimal === '.' ? /(?:[+-] *)?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?/y : /(?:[+-] *)?(?:\d+(?:,\d*)?|,\d+)/y,
  ],
  ['number', /[-*?#]{2,}(?:[.,]-+)?/y],
  ['word', /[°º]?[A-Za-z][A-Za-z_]*(?:\([gGaA]\))?(?:\/[A-Za-z]+(?:[²2]|\^2)?)?(?:\d*(?=[ ]*[=:]))?/y],
  ['blank', /[ \t]+/y],
  ['sign', /[\s\S]/y],
];

/** Cuts a line into tokens; every character is in one of them. */
export function tokensOf(line: string, decimal: DecimalSign): readonly LineToken[] {
  const tokens: LineToken[] = [];
  const tries = shapes(decimal);
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
 * The decimal sign of these lines. A point between digits settles it; a comma is one when no line has such a point and
 * it does not part cells: at most one between two blanks or semicolons.
 */
export function decimalOf(lines: readonly string[]): DecimalSign {
  if (lines.some((line) => /\d\.\d/.test(line))) return '.';
  const cells = lines.flatMap((line) => line.split(/[;\s]+/));
  const withComma = cells.filter((cell) => /\d,\d/.test(cell));
  return withComma.length > 0 && withComma.every((cell) => cell.split(',').length === 2) ? ',' : '.';
}
