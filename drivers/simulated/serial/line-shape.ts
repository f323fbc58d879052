import type { Reading } from '../../../src/gauge/index.js';
import { readingFlags } from '../../../src/gauge/index.js';
import { pascalsIn } from '../instrument/transducer.js';

/** How the instrument writes a reading as a line of text. */
export interface LineShape {
  readonly unit: 'bar' | 'psi';
  readonly decimals: number;
  /** Characters of the figure, sign and leading zeros included. */
  readonly width: number;
  /** Oil temperature after the pressure, in degrees Celsius with so many decimals; absent: none. */
  readonly oilDecimals?: number;
  /** The instrument's own clock in seconds before everything else, with so many decimals; absent: none. */
  readonly elapsedDecimals?: number;
  readonly terminator: string;
}

/** `+0253.7 bar +23.41 C` and carriage return, line feed. */
export const plainShape: LineShape = { unit: 'bar', decimals: 1, width: 7, oilDecimals: 2, terminator: '\r\n' };

/**
 * One reading as the instrument sends it. No value: `------`; over and under range: `OVER` and `UNDER`.
 * @example lineOf({ timeUs: 0, pressurePa: 25370000, oppositePa: null, oilK: 296.56, flags: 0 }, plainShape) // '+0253.7 bar +23.41 C\r\n'
 */
export function lineOf(reading: Reading, shape: LineShape): string {
  const clock = shape.elapsedDecimals === undefined ? [] : [(reading.timeUs / 1e6).toFixed(shape.elapsedDecimals), 's'];
  const parts = [...clock, pressureText(reading, shape), shape.unit];
  if (reading.oppositePa !== null)
    parts.push(figure(reading.oppositePa / pascalsIn[shape.unit], shape.decimals, shape.width), shape.unit);
  if (shape.oilDecimals !== undefined)
    parts.push(reading.oilK === null ? '------' : figure(reading.oilK - 273.15, shape.oilDecimals, 0), 'C');
  return parts.join(' ') + shape.terminator;
}

function pressureText(reading: Reading, shape: LineShape): string {
  if (reading.pressurePa !== null)
    return figure(reading.pressurePa / pascalsIn[shape.unit], shape.decimals, shape.width);
  if ((reading.flags & readingFlags.overRange) !== 0) return 'OVER';
  if ((reading.flags & readingFlags.underRange) !== 0) return 'UNDER';
  return '------';
}

/** A figure with its sign always written, zeros before it up to the width. */
function figure(value: number, decimals: number, width: number): string {
  const digits = Math.abs(value).toFixed(decimals);
  const negative = value < 0 && Number(digits) !== 0;
  return (negative ? '-' : '+') + digits.padStart(width - 1, '0');
}
