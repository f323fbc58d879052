import type { CalibrationPoint, Correction } from '../../procedure/index.js';
import { type Pressure, type PressureDifference, pressureDifferencePa, pressurePa } from '../../units/index.js';

/**
 * What to add at an indicated pressure: straight lines between the table's points, its end values beyond them
 * (whether the calibration covers that pressure is a finding of the plan). 0 for an empty table.
 * @example correctionAt([{ atPa: 0, addPa: 0 }, { atPa: 400e5, addPa: 0.8e5 }], 100e5) // 0.2e5
 */
export function correctionAt(table: readonly Correction[], indicatedPa: Pressure): PressureDifference {
  const above = table.findIndex((one) => one.atPa >= indicatedPa);
  const upper = above === -1 ? table.at(-1) : table[above];
  const lower = above > 0 ? table[above - 1] : upper;
  if (!upper || !lower) return pressureDifferencePa(0);
  if (upper === lower || above === -1) return upper.addPa;
  const share = (indicatedPa - lower.atPa) / (upper.atPa - lower.atPa);
  return pressureDifferencePa(lower.addPa + share * (upper.addPa - lower.addPa));
}

/** An indicated pressure corrected, whole pascals. */
export const correctedPa = (table: readonly Correction[], indicatedPa: Pressure): Pressure =>
  table.length === 0 ? indicatedPa : pressurePa(Math.round(indicatedPa + correctionAt(table, indicatedPa)));

/**
 * How far the gauge was off at a pressure, from the points of a calibration: shown - reference, straight lines
 * between the points, end values beyond them. Null without points.
 * @example errorAt([{ referencePa: 100e5, shownPa: 100.2e5 }], 250e5) // 0.2e5
 */
export function errorAt(points: readonly CalibrationPoint[], indicatedPa: Pressure): PressureDifference | null {
  if (points.length === 0) return null;
  const table = points
    .map((point) => ({ atPa: point.shownPa, addPa: pressureDifferencePa(point.shownPa - point.referencePa) }))
    .sort((a, b) => a.atPa - b.atPa);
  return correctionAt(table, indicatedPa);
}
