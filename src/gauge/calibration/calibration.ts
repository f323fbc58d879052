import { DwellmarkError, type Pressure, type PressureDifference } from '../../units/index.js';

/** One point of a calibration: what the reference said and what the gauge showed. */
export interface CalibrationPoint {
  readonly referencePa: Pressure;
  readonly indicatedPa: Pressure;
}

/** What to add to an indicated pressure. */
export interface Correction {
  readonly atPa: Pressure;
  readonly addPa: PressureDifference;
}

/** One calibration of one gauge, as its certificate states it. Pressures in pascals, gauge. */
export interface Calibration {
  readonly certificate: string;
  readonly laboratory: string;
  /** ISO date, `2026-03-14`. */
  readonly date: string;
  /** Last day it is good for. */
  readonly due: string;
  /** Pressures the calibration covers. */
  readonly coversLowPa: Pressure;
  readonly coversHighPa: Pressure;
  /** Half-width of the error the gauge may show, as a fraction of the span. */
  readonly accuracyOfSpan?: number;
  /** Expanded uncertainty (k = 2). */
  readonly expandedUPa?: PressureDifference;
  /** As the gauge came in, before anything was adjusted. */
  readonly asFound: readonly CalibrationPoint[];
  /** As it left; the same points when nothing was adjusted. */
  readonly asLeft: readonly CalibrationPoint[];
  /** The table of the certificate, applied as stated; empty: none is applied. */
  readonly corrections: readonly Correction[];
  /** The certificate's file, kept with the record. */
  readonly attachment?: { readonly name: string; readonly sha256: string };
}

/** The calibrations of one gauge, oldest first; none is ever taken out. */
export interface CalibrationHistory {
  readonly gaugeSerial: string;
  readonly calibrations: readonly Calibration[];
}

const isoDate = /^\d{4}-\d{2}-\d{2}$/;

/**
 * A history with one more calibration, in order of date.
 * @throws DwellmarkError (`input`) naming the key: a date that is none, due before done, a range upside down, a
 * certificate that is already there, corrections that do not ascend.
 */
export function enterCalibration(history: CalibrationHistory, calibration: Calibration): CalibrationHistory {
  const fail = (key: string, message: string, advice: string): DwellmarkError =>
    new DwellmarkError('input', message, { place: { key: `calibration.${key}` }, advice });
  for (const key of ['date', 'due'] as const)
    if (!isoDate.test(calibration[key]) || Number.isNaN(Date.parse(calibration[key])))
      throw fail(key, `"${calibration[key]}" is not a date`, 'Write it as 2026-03-14.');
  if (calibration.due < calibration.date)
    throw fail('due', `due ${calibration.due} is before the calibration of ${calibration.date}`, 'Look at both dates.');
  if (!(calibration.coversLowPa < calibration.coversHighPa))
    throw fail('covers', 'the range it covers is empty', 'Write the lowest and the highest pressure calibrated.');
  if (history.calibrations.some((one) => one.certificate === calibration.certificate))
    throw fail('certificate', `certificate ${calibration.certificate} is entered already`, 'Look at its number.');
  calibration.corrections.forEach((one, index) => {
    const before = calibration.corrections[index - 1];
    if (before && !(before.atPa < one.atPa))
      throw fail('corrections', 'the correction table does not ascend', 'Order it by indicated pressure, each once.');
  });
  const calibrations = [...history.calibrations, calibration].sort((a, b) => a.date.localeCompare(b.date));
  return { ...history, calibrations };
}

/** The calibration in force on a day: the newest done on it or before. Undefined when there is none yet. */
export const calibrationOn = (history: CalibrationHistory, day: string): Calibration | undefined =>
  history.calibrations.findLast((one) => one.date <= day);
