import { z } from 'zod';
import { type ErrorPlace, pressureDifferencePa, pressurePa, temperatureDifferenceK } from '../../units/index.js';
import type { CalibrationPoint, CalibrationSpec } from '../gauge-spec.js';
import { fieldsOf, grammar, isoDate, quantity, troubleAt, words } from './fields.js';
import { parseRange } from './range.js';

const pointTable = z.strictObject({
  reference: quantity('pressure', '"100 bar"', 'any'),
  shown: quantity('pressure', '"100.2 bar"', 'any'),
});

/** Schema of a calibration: in a gauge's table, or entered by itself. */
export const calibrationTable = z.strictObject({
  certificate: words('"CAL-0311"'),
  laboratory: words('"…"'),
  date: isoDate('"2026-03-14"'),
  due: isoDate('"2027-03-14"'),
  covers: grammar('"0..400 bar"', parseRange).optional(),
  uncertainty: quantity('pressure-difference', '"0.2 bar"', 'not negative').optional(),
  accuracy: quantity('pressure-difference', '"0.5 bar"', 'not negative').optional(),
  as_found: z.array(pointTable).optional(),
  as_left: z.array(pointTable).optional(),
  corrections: z
    .array(
      z.strictObject({
        at: quantity('pressure', '"100 bar"', 'any'),
        add: quantity('pressure-difference', '"-0.1 bar"', 'any'),
      }),
    )
    .optional(),
});

/** The same of an oil probe: dates, paper, uncertainty. */
export const probeCalibrationTable = z.strictObject({
  certificate: words('"CAL-0312"'),
  laboratory: words('"…"'),
  date: isoDate('"2026-03-14"'),
  due: isoDate('"2027-03-14"'),
  uncertainty: quantity('temperature-difference', '"0.1 K"', 'not negative').optional(),
});

type CalibrationTable = z.output<typeof calibrationTable>;

/** What contradicts itself in a calibration, by its key. */
export interface CalibrationTrouble {
  readonly key: string;
  readonly message: string;
  readonly advice: string;
}

/** Dates the wrong way round, a pressure given twice, or one that the range does not cover. */
export function calibrationTrouble(table: CalibrationTable): CalibrationTrouble | undefined {
  const { date, due, covers } = table;
  if (due < date)
    return {
      key: 'due',
      message: `calibration is due ${due}, before it was made (${date})`,
      advice: 'Write dates as year-month-day.',
    };
  const lists: readonly [key: string, pressuresPa: readonly number[]][] = [
    ['as_found', (table.as_found ?? []).map(({ reference }) => reference)],
    ['as_left', (table.as_left ?? []).map(({ reference }) => reference)],
    ['corrections', (table.corrections ?? []).map(({ at }) => at)],
  ];
  for (const [key, pressures] of lists) {
    if (new Set(pressures).size < pressures.length)
      return { key, message: 'the same pressure stands there twice', advice: 'Give each pressure once.' };
    const outside = covers && key !== 'corrections' && pressures.some((pa) => pa < covers.lowPa || pa > covers.highPa);
    if (outside)
      return {
        key,
        message: `a point lies outside the range "${covers.text}" that the calibration covers`,
        advice: 'Look at its unit, and at the range.',
      };
  }
  return undefined;
}

/** A calibration as the rest of the program knows it. Without a stated range it covers what its points span. */
export function calibrationOf(table: CalibrationTable): CalibrationSpec {
  const { certificate, laboratory, date, due, covers, uncertainty, accuracy, corrections } = table;
  const asFound = points(table.as_found);
  const asLeft = points(table.as_left);
  const spanned = (asLeft ?? asFound ?? []).map(({ referencePa }) => referencePa);
  const spans = spanned.length >= 2;
  return {
    certificate,
    laboratory,
    date,
    due,
    ...(uncertainty === undefined ? {} : { expandedUPa: pressureDifferencePa(uncertainty) }),
    ...(accuracy === undefined ? {} : { accuracyPa: pressureDifferencePa(accuracy) }),
    ...(covers !== undefined
      ? { coversLowPa: covers.lowPa, coversHighPa: covers.highPa }
      : spans
        ? { coversLowPa: pressurePa(Math.min(...spanned)), coversHighPa: pressurePa(Math.max(...spanned)) }
        : {}),
    ...(asFound === undefined ? {} : { asFound }),
    ...(asLeft === undefined ? {} : { asLeft }),
    ...(corrections === undefined
      ? {}
      : {
          corrections: corrections
            .map(({ at, add }) => ({ atPa: pressurePa(at), addPa: pressureDifferencePa(add) }))
            .sort((a, b) => a.atPa - b.atPa),
        }),
  };
}

const points = (table: CalibrationTable['as_found']): readonly CalibrationPoint[] | undefined =>
  table
    ?.map(({ reference, shown }) => ({ referencePa: pressurePa(reference), shownPa: pressurePa(shown) }))
    .sort((a, b) => a.referencePa - b.referencePa);

/** An oil probe's calibration. */
export const probeCalibrationOf = (table: z.output<typeof probeCalibrationTable>): CalibrationSpec => {
  const { uncertainty, ...rest } = table;
  return { ...rest, ...(uncertainty === undefined ? {} : { expandedUK: temperatureDifferenceK(uncertainty) }) };
};

/**
 * A calibration from its fields as a person writes them.
 * @param fields `{ certificate, laboratory, date: '2026-03-14', due, covers: '0..400 bar', uncertainty: '0.2 bar',
 *   as_found: [{ reference: '100 bar', shown: '100.2 bar' }], as_left, corrections: [{ at, add }] }`
 * @throws DwellmarkError (`input`) naming the field.
 */
export function readCalibration(fields: unknown, place: ErrorPlace = {}): CalibrationSpec {
  const table = fieldsOf(calibrationTable, fields, 'calibration', place);
  const trouble = calibrationTrouble(table);
  if (trouble) throw troubleAt(trouble, place);
  return calibrationOf(table);
}

/** The same for an oil probe. @throws DwellmarkError (`input`) naming the field. */
export function readProbeCalibration(fields: unknown, place: ErrorPlace = {}): CalibrationSpec {
  const table = fieldsOf(probeCalibrationTable, fields, 'calibration', place);
  if (table.due < table.date)
    throw troubleAt(
      { key: 'due', message: `due ${table.due}, before it was made`, advice: 'Look at both dates.' },
      place,
    );
  return probeCalibrationOf(table);
}
