import { z } from 'zod';
import {
  DwellmarkError,
  type ErrorPlace,
  findUnit,
  type Pressure,
  parseQuantity,
  pressureDifferencePa,
  pressurePa,
  toSi,
} from '../../units/index.js';
import type { CalibrationSpec, GaugeSpec } from '../gauge-spec.js';
import { grammar, isoDate, quantity, words } from './fields.js';

interface Range {
  readonly text: string;
  readonly lowPa: Pressure;
  readonly highPa: Pressure;
  readonly unit: string;
}

type Accuracy = { readonly ofSpan: number } | { readonly pa: number };

/**
 * Reads `0..400 bar`.
 * @example parseRange('0..400 bar').highPa // 4e7
 */
function parseRange(text: string): Range {
  const match = /^\s*([+-]?\d+(?:\.\d+)?)\s*\.\.\s*([+-]?\d+(?:\.\d+)?)\s*(\S+)?\s*$/.exec(text);
  const advice = 'Write low..high and the unit, for example "0..400 bar".';
  if (!match) throw new DwellmarkError('input', `"${text}" is not a range`, { advice });
  const unitName = match[3] ?? '';
  const unit = findUnit('pressure', unitName);
  if (!unit)
    throw new DwellmarkError('input', `the range "${text}" has ${unitName === '' ? 'no' : 'an unknown'} unit`, {
      advice,
    });
  const [lowPa, highPa] = [toSi(Number(match[1]), unit), toSi(Number(match[2]), unit)];
  if (!(highPa > lowPa) || !(highPa > 0))
    throw new DwellmarkError('input', `the range "${text}" does not run upwards past zero`, { advice });
  return { text, lowPa: pressurePa(lowPa), highPa: pressurePa(highPa), unit: unitName };
}

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
  if (plain.includes('%'))
    throw new DwellmarkError('input', `"${text}" does not say of what the percentage is`, { advice });
  const pa = parseQuantity(plain, 'pressure-difference');
  if (pa < 0) throw new DwellmarkError('input', `the accuracy "${text}" is negative`, { advice });
  return { pa };
}

/** Schema of a calibration: in a gauge's table, or entered by itself. */
const calibrationTable = z.strictObject({
  certificate: words('"CAL-0311"'),
  laboratory: words('"…"'),
  date: isoDate('"2026-03-14"'),
  due: isoDate('"2027-03-14"'),
  uncertainty: quantity('pressure-difference', '"0.2 bar"', 'not negative').optional(),
  corrections: z
    .array(
      z.strictObject({
        at: quantity('pressure', '"100 bar"', 'any'),
        add: quantity('pressure-difference', '"-0.1 bar"', 'any'),
      }),
    )
    .optional(),
});

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
  const datesWrong = calibration && datesTrouble(calibration);
  if (datesWrong) return datesWrong;
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

type CalibrationTable = z.output<typeof calibrationTable>;

function datesTrouble({ date, due }: CalibrationTable): GaugeTrouble | undefined {
  if (due >= date) return undefined;
  return {
    key: 'calibration',
    message: `calibration is due ${due}, before it was made (${date})`,
    advice: 'Write dates as year-month-day.',
  };
}

function calibrationOf(table: CalibrationTable): CalibrationSpec {
  const { certificate, laboratory, date, due, uncertainty, corrections } = table;
  return {
    certificate,
    laboratory,
    date,
    due,
    ...(uncertainty === undefined ? {} : { expandedUPa: pressureDifferencePa(uncertainty) }),
    ...(corrections === undefined
      ? {}
      : {
          corrections: corrections
            .map(({ at, add }) => ({ atPa: pressurePa(at), addPa: pressureDifferencePa(add) }))
            .sort((a, b) => a.atPa - b.atPa),
        }),
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

/**
 * A calibration from its fields as a person writes them.
 * @param fields `{ certificate, laboratory, date: '2026-03-14', due, uncertainty: '0.2 bar', corrections: [{ at, add }] }`
 * @throws DwellmarkError (`input`) naming the field.
 */
export function readCalibration(fields: unknown, place: ErrorPlace = {}): CalibrationSpec {
  const table = fieldsOf(calibrationTable, fields, 'calibration', place);
  const trouble = datesTrouble(table);
  if (trouble) throw troubleAt({ ...trouble, key: 'due' }, place);
  return calibrationOf(table);
}

function fieldsOf<T extends z.ZodType>(schema: T, fields: unknown, what: string, place: ErrorPlace): z.output<T> {
  const result = schema.safeParse(fields);
  if (result.success) return result.data;
  const issue = result.error.issues[0];
  const advice: unknown = issue?.code === 'custom' ? issue.params?.advice : undefined;
  throw new DwellmarkError('input', `the ${what} is not right: ${issue?.message ?? 'unknown'}`, {
    place: within(place, (issue?.path ?? []).map(String).join('.')),
    ...(typeof advice === 'string' ? { advice } : {}),
  });
}

const troubleAt = (trouble: { key: string; message: string; advice: string }, place: ErrorPlace): DwellmarkError =>
  new DwellmarkError('input', trouble.message, { place: within(place, trouble.key), advice: trouble.advice });

const within = (place: ErrorPlace, name: string): ErrorPlace => ({
  ...place,
  key: [place.key, name].filter(Boolean).join('.'),
});
