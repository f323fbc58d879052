import type { CalibrationPoint, CalibrationSpec } from '../../procedure/index.js';
import { type Pressure, type PressureDifference, pressureDifferencePa } from '../../units/index.js';
import { errorAt } from './correction.js';

/** One reference pressure of a calibration: how far off the gauge came in, and how far off it left. */
export interface DriftRow {
  readonly referencePa: Pressure;
  /** Shown - reference, as found; null: not measured there. */
  readonly foundPa: PressureDifference | null;
  /** The same as left. */
  readonly leftPa: PressureDifference | null;
  /** As left - as found: what adjusting did. Null where one of them was not measured. */
  readonly adjustedPa: PressureDifference | null;
  /** As found - as left at the calibration before: how far it drifted in service. Null without one. */
  readonly driftedPa: PressureDifference | null;
}

/**
 * The points of a calibration side by side, by reference pressure.
 * @param before the calibration before this one, for what the gauge did in service.
 * @example driftRows({ …, asFound: [{ referencePa: 100e5, shownPa: 100.3e5 }], asLeft: [{ referencePa: 100e5, shownPa: 100e5 }] }) // adjustedPa -0.3e5
 */
export function driftRows(calibration: CalibrationSpec, before?: CalibrationSpec): readonly DriftRow[] {
  const found = calibration.asFound ?? [];
  const left = asLeft(calibration);
  const earlier = before === undefined ? [] : asLeft(before);
  const references = [...new Set([...found, ...left].map(({ referencePa }) => referencePa))].sort((a, b) => a - b);
  return references.map((referencePa) => {
    const foundPa = offAt(found, referencePa);
    const leftPa = offAt(left, referencePa);
    const earlierPa = offAt(earlier, referencePa) ?? errorAt(earlier, referencePa);
    return {
      referencePa,
      foundPa,
      leftPa,
      adjustedPa: differenceOf(leftPa, foundPa),
      driftedPa: differenceOf(foundPa, earlierPa),
    };
  });
}

/** A gauge that was not adjusted left as it was found. */
const asLeft = ({ asFound = [], asLeft: left }: CalibrationSpec): readonly CalibrationPoint[] => left ?? asFound;

function offAt(points: readonly CalibrationPoint[], referencePa: Pressure): PressureDifference | null {
  const point = points.find((one) => one.referencePa === referencePa);
  return point === undefined ? null : pressureDifferencePa(point.shownPa - referencePa);
}

const differenceOf = (a: PressureDifference | null, b: PressureDifference | null): PressureDifference | null =>
  a === null || b === null ? null : pressureDifferencePa(a - b);

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
 * @param calibrations of one gauge, in any order.
 */
export function doubtWindow(
  calibrations: readonly CalibrationSpec[],
  certificate: string,
  allowedPa: PressureDifference,
): DoubtWindow | undefined {
  const byDate = [...calibrations].sort((a, b) => a.date.localeCompare(b.date));
  const index = byDate.findIndex((one) => one.certificate === certificate);
  const found = byDate[index];
  if (!found || foundGood(found, allowedPa)) return undefined;
  const lastGood = byDate.slice(0, index).findLast((one) => foundGood(one, allowedPa));
  return {
    after: lastGood?.date ?? null,
    until: found.date,
    certificate,
    asFound: found.asFound ?? [],
    allowedPa,
  };
}

const foundGood = ({ asFound = [] }: CalibrationSpec, allowedPa: PressureDifference): boolean =>
  asFound.every(({ referencePa, shownPa }) => Math.abs(shownPa - referencePa) <= allowedPa);
