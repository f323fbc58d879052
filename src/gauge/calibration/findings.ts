import type { Finding } from '../../procedure/index.js';
import type { Pressure, PressureDifference } from '../../units/index.js';
import { type Calibration, type CalibrationHistory, type CalibrationPoint, calibrationOn } from './calibration.js';
import { errorAt } from './correction.js';

/** What the shop does about each fault of a calibration. */
export interface CalibrationPolicy {
  readonly missing: Finding['grade'];
  readonly outOfDate: Finding['grade'];
  readonly notCovering: Finding['grade'];
  /** Days before the due date from which it is noted. */
  readonly noticeDays: number;
}

/** A test on an uncalibrated gauge is stopped until a named person overrules it. */
export const strictPolicy: CalibrationPolicy = {
  missing: 'stop',
  outOfDate: 'stop',
  notCovering: 'stop',
  noticeDays: 30,
};

/**
 * What speaks against a gauge's calibration for a test on a day up to a pressure; empty when nothing does.
 * @param day ISO date of the test.
 */
export function calibrationFindings(
  history: CalibrationHistory,
  test: { readonly day: string; readonly highestPa: Pressure },
  policy: CalibrationPolicy = strictPolicy,
): readonly Finding[] {
  const calibration = calibrationOn(history, test.day);
  const { gaugeSerial } = history;
  if (!calibration)
    return [
      {
        grade: policy.missing,
        code: 'calibration-missing',
        text: `no calibration of gauge ${gaugeSerial} is entered for ${test.day}`,
      },
    ];
  const findings: Finding[] = [];
  const named = `calibration ${calibration.certificate} of gauge ${gaugeSerial}`;
  const daysLeft = (Date.parse(calibration.due) - Date.parse(test.day)) / 86_400_000;
  if (daysLeft < 0)
    findings.push({
      grade: policy.outOfDate,
      code: 'calibration-out-of-date',
      text: `${named} was due on ${calibration.due}, ${-daysLeft} days before ${test.day}`,
    });
  else if (daysLeft <= policy.noticeDays)
    findings.push({
      grade: 'note',
      code: 'calibration-due-soon',
      text: `${named} is due on ${calibration.due}, in ${daysLeft} days`,
    });
  if (test.highestPa > calibration.coversHighPa)
    findings.push({
      grade: policy.notCovering,
      code: 'calibration-not-covering',
      text: `${named} covers up to {pressure:${calibration.coversHighPa}}, the test goes to {pressure:${test.highestPa}}`,
    });
  return findings;
}

/** A calibration that found the gauge out, and the time over which its readings are in doubt. */
export interface DoubtWindow {
  /** Date of the last calibration that found it good; null: never found good before. */
  readonly after: string | null;
  /** Date of the calibration that found it out. */
  readonly until: string;
  readonly certificate: string;
  readonly asFound: readonly CalibrationPoint[];
  readonly allowedPa: PressureDifference;
}

/**
 * The window of doubt of one calibration: undefined when every as-found point lay within what is allowed.
 * Each test in it needs its own disposition: {@link errorAt} with `asFound` gives the error at that test's pressure.
 */
export function doubtWindow(
  history: CalibrationHistory,
  certificate: string,
  allowedPa: PressureDifference,
): DoubtWindow | undefined {
  const index = history.calibrations.findIndex((one) => one.certificate === certificate);
  const found = history.calibrations[index];
  if (!found || foundGood(found, allowedPa)) return undefined;
  const lastGood = history.calibrations.slice(0, index).findLast((one) => foundGood(one, allowedPa));
  return { after: lastGood?.date ?? null, until: found.date, certificate, asFound: found.asFound, allowedPa };
}

const foundGood = (calibration: Calibration, allowedPa: PressureDifference): boolean =>
  calibration.asFound.every((point) => Math.abs(errorAt([point], point.indicatedPa) ?? 0) <= allowedPa);
