import { z } from 'zod';
import {
  DwellmarkError,
  type ErrorPlace,
  findUnit,
  type Temperature,
  temperatureDifferenceK,
  temperatureK,
  toSi,
} from '../../units/index.js';
import type { OilProbeSpec } from '../gauge-spec.js';
import { probeCalibrationOf, probeCalibrationTable } from './calibration-table.js';
import { fieldsOf, grammar, quantity, words } from './fields.js';

export interface TemperatureRange {
  readonly lowK: Temperature;
  readonly highK: Temperature;
  readonly unit: string;
}

/** Reads `-20..120 C`. @throws DwellmarkError (`input`) for anything else. */
export function parseTemperatureRange(text: string): TemperatureRange {
  const match = /^\s*([+-]?\d+(?:\.\d+)?)\s*\.\.\s*([+-]?\d+(?:\.\d+)?)\s*(\S+)\s*$/.exec(text);
  const name = match?.[3] ?? '';
  const unit = findUnit('temperature', name);
  const advice = 'Write low..high and the unit, for example "-20..120 C".';
  if (!match || !unit) throw new DwellmarkError('input', `"${text}" is not a range of temperatures`, { advice });
  const [lowK, highK] = [toSi(Number(match[1]), unit), toSi(Number(match[2]), unit)];
  if (!(highK > lowK)) throw new DwellmarkError('input', `the range "${text}" does not run upwards`, { advice });
  return { lowK: temperatureK(lowK), highK: temperatureK(highK), unit: name };
}

/** Schema of an oil probe in the shop file. */
export const probeTable = z.strictObject({
  serial: words('"OT 12"'),
  maker: words('"…"').optional(),
  model: words('"…"').optional(),
  range: grammar('"-20..120 C"', parseTemperatureRange).optional(),
  resolution: quantity('temperature-difference', '"0.01 K"').optional(),
  accuracy: quantity('temperature-difference', '"0.2 K"', 'not negative').optional(),
  calibration: probeCalibrationTable.optional(),
});

/** A probe as the rest of the program knows it. */
export function probeOf(table: z.output<typeof probeTable>): OilProbeSpec {
  const { serial, maker, model, range, resolution, accuracy, calibration } = table;
  return {
    serial,
    ...(maker === undefined ? {} : { maker }),
    ...(model === undefined ? {} : { model }),
    ...(range === undefined ? {} : { rangeLowK: range.lowK, rangeHighK: range.highK }),
    ...(resolution === undefined ? {} : { resolutionK: temperatureDifferenceK(resolution) }),
    ...(accuracy === undefined ? {} : { accuracyK: temperatureDifferenceK(accuracy) }),
    ...(calibration === undefined ? {} : { calibration: probeCalibrationOf(calibration) }),
  };
}

/**
 * A probe from its fields as a person writes them.
 * @param fields `{ serial, range: '-20..120 C', resolution: '0.01 K', accuracy: '0.2 K' }`, all but the serial optional.
 * @throws DwellmarkError (`input`) naming the field.
 */
export const readProbe = (fields: unknown, place: ErrorPlace = {}): OilProbeSpec =>
  probeOf(fieldsOf(probeTable, fields, 'probe', place));
