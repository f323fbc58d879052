import { z } from 'zod';
import { DwellmarkError, type ErrorPlace, parseQuantity, pressureDifferencePa } from '../../units/index.js';
import type { GaugeSpec } from '../gauge-spec.js';
import { calibrationOf, calibrationTable, calibrationTrouble } from './calibration-table.js';
import { fieldsOf, grammar, quantity, troubleAt, words } from './fields.js';
import { parseRange } from './range.js';

type Accuracy = { readonly ofSpan: number } | { readonly pa: number };

/**
 * Reads `0.25 %FS`, `class 0.6` (EN 837-1: percent of span) or `1 bar`: a half-width.
 * @example parseAccuracy('class 0.6') // { ofSpan: 0.006 }
 */
export function parseAccuracy(text: string): Accuracy {
  const plain = text.replace(/^\s*(?:±|\+\/-)\s*/, '');
  const percent =
    /^\s*(\d+(?:\.\d+)?)\s*%\s*(?:FS|of span)\s*$/i.exec(plain) ?? /^\s*class\s+(\d+(?:\.\d+)?)\s*$/i.exec(plain);
  if (percent) return { ofSpan: Number(percent[1]) / 100 };
  const advice = 'Write "0.25 %FS" (of full scale), "class 0.6", or a pressure such as "1 bar".';
  if (/\d,\d/.test(plain))
    throw new DwellmarkError('input', `"${text}" has a decimal comma`, { advice: 'Write a decimal point.' });
  if (plain.includes('%'))
    throw new DwellmarkError('input', `"${text}" does not say of what the percentage is`, { advice });
  const pa = parseQuantity(plain, 'pressure-difference');
  if (pa < 0) throw new DwellmarkError('input', `the accuracy "${text}" is negative`, { advice });
  return { pa };
}

/** Schema of a gauge, in a job's `[gauge]` or in the shop file. */
export const gaugeTable = z.strictObject({
  serial: words('"SN 40117"'),
  maker: words('"…"').optional(),
  model: words('"…"').optional(),
  range: grammar('"0..400 bar"', parseRange),
  resolution: grammar('"0.1 bar"', (text) => ({ text, pa: parseQuantity(text, 'pressure-difference') })),
  accuracy: grammar('"0.25 %FS"', parseAccuracy),
  stability: quantity('pressure-difference', '"0.05 bar"', 'not negative').optional(),
  unit: words('"bar"').optional(),
  calibration: calibrationTable.optional(),
});

const isInchUnit = (text: string): boolean => /(?:psi|ksi)\s*$/.test(text);

/** What speaks against a gauge that reads well key by key: which key, what, and what to do. */
export interface GaugeTrouble {
  readonly key: 'resolution' | 'accuracy' | 'unit' | 'calibration';
  readonly message: string;
  readonly advice: string;
}

/** A gauge as the rest of the program knows it, or what contradicts itself in it. */
export function gaugeOf(table: z.output<typeof gaugeTable>): GaugeSpec | GaugeTrouble {
  const { range, resolution, accuracy, calibration } = table;
  const spanPa = range.highPa - range.lowPa;
  const accuracyOfSpan = 'ofSpan' in accuracy ? accuracy.ofSpan : accuracy.pa / spanPa;
  if (!(resolution.pa > 0) || resolution.pa > spanPa / 10)
    return {
      key: 'resolution',
      message: `a resolution of "${resolution.text}" does not fit a range of "${range.text}"`,
      advice: 'The resolution is one step of the last digit; check its unit.',
    };
  if (isInchUnit(range.unit) !== isInchUnit(resolution.text))
    return {
      key: 'resolution',
      message: `the range is "${range.text}" but the resolution "${resolution.text}": a gauge shows one unit`,
      advice: 'Give both in the unit printed on the gauge.',
    };
  if (accuracyOfSpan > 0.1)
    return {
      key: 'accuracy',
      message: 'an accuracy worse than 10 % of the span is no gauge for a hold test',
      advice: 'Check its unit; "0.25 %FS" is percent of full scale.',
    };
  if (table.unit !== undefined && table.unit !== range.unit)
    return {
      key: 'unit',
      message: `the gauge shows ${table.unit}, but its range is given in ${range.unit}`,
      advice: 'Give the range in the unit printed on the gauge.',
    };
  const wrong = calibration && calibrationTrouble(calibration);
  if (wrong) return { ...wrong, key: 'calibration' };
  return {
    serial: table.serial,
    ...(table.maker === undefined ? {} : { maker: table.maker }),
    ...(table.model === undefined ? {} : { model: table.model }),
    unit: range.unit,
    rangeLowPa: range.lowPa,
    rangeHighPa: range.highPa,
    resolutionPa: pressureDifferencePa(resolution.pa),
    accuracyOfSpan,
    ...(table.stability === undefined ? {} : { stabilityPa: pressureDifferencePa(table.stability) }),
    ...(calibration === undefined ? {} : { calibration: calibrationOf(calibration) }),
  };
}

/**
 * A gauge from its fields as a person writes them, for a gauge that does not come from a job file.
 * @param fields `{ serial, range: '0..400 bar', resolution: '0.1 bar', accuracy: '0.25 %FS', … }`
 * @throws DwellmarkError (`input`) naming the field.
 */
export function readGauge(fields: unknown, place: ErrorPlace = {}): GaugeSpec {
  const gauge = gaugeOf(fieldsOf(gaugeTable, fields, 'gauge', place));
  if ('key' in gauge) throw troubleAt(gauge, place);
  return gauge;
}
