import { type PressureDifference, pressureDifferencePa, square } from '../../units/index.js';
import type { GaugeSpec } from '../gauge-spec.js';

/** Stated share of the accuracy that stands for drift and hysteresis over a dwell when the gauge's maker gives none. */
const stabilityShare = 0.1;

/**
 * Drift and hysteresis of a gauge over a dwell, half-width, Pa: its own figure, else a tenth of its accuracy (the
 * program's assumption, no source).
 * @example 0..400 bar, 0.25 %FS, nothing stated: 0.1 bar
 */
export const gaugeStabilityPa = (gauge: GaugeSpec): PressureDifference =>
  gauge.stabilityPa ?? pressureDifferencePa(stabilityShare * gaugeAccuracyPa(gauge));

/**
 * Limit of error of an absolute pressure, half-width, Pa.
 * @example 0..400 bar, 0.25 %FS: 1 bar
 */
export const gaugeAccuracyPa = (gauge: GaugeSpec): PressureDifference =>
  pressureDifferencePa(gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa));

export interface DwellConditions {
  readonly dwellS: number;
  readonly readingsPerS: number;
  /** Standard deviation of one reading (white noise), Pa. */
  readonly noisePa: number;
  readonly resolutionPa: number;
  /** Half-width over the dwell, Pa. */
  readonly stabilityPa: number;
  /** Half-width over the dwell of the oil temperature change that stays unknown, K. */
  readonly temperatureBoundK: number;
  readonly thermalPaPerK: number;
}

/**
 * The least fall of pressure over a dwell that can be told from none, Pa, expanded (k = 2).
 *
 * Noise: the slope of n readings over T has the variance 12 s2 / (n T2) (Cramér-Rao bound, reached by least squares),
 * so the fall over T has 12 s2 / n. Resolution d: two roundings, d2 / 12 each (rectangular, GUM F.2.2.1; clause from
 * memory). Stability and temperature: half-widths, a2 / 3 each. Gain and offset of the gauge cancel in a fall.
 * @example 10 readings/s, 0.1 bar noise, 0.1 bar steps, nothing else, 5 min: 0.083 bar
 */
export function resolvableDropPa(conditions: DwellConditions): PressureDifference {
  const { dwellS, readingsPerS, noisePa, resolutionPa, stabilityPa } = conditions;
  const readings = Math.max(3, dwellS * readingsPerS);
  const thermalPa = conditions.temperatureBoundK * conditions.thermalPaPerK;
  const variance =
    (12 * square(noisePa)) / readings + square(resolutionPa) / 6 + square(stabilityPa) / 3 + square(thermalPa) / 3;
  return pressureDifferencePa(2 * Math.sqrt(variance));
}

/**
 * The shortest dwell at which the smallest resolvable fall is no more than half the limit, s, so that a cylinder with
 * half the allowed decay can still pass a guarded decision; null when no dwell up to a day is long enough.
 * @param allowedPa the limit as a fall over a dwell of that many seconds.
 */
export function dwellNeededS(conditions: DwellConditions, allowedPa: (dwellS: number) => number): number | null {
  const enough = (dwellS: number): boolean => resolvableDropPa({ ...conditions, dwellS }) <= allowedPa(dwellS) / 2;
  let [short, long] = [1, 86_400];
  if (!enough(long)) return null;
  if (enough(short)) return short;
  while (long - short > Math.max(0.5, short * 0.001)) {
    const middle = Math.sqrt(short * long);
    if (enough(middle)) long = middle;
    else short = middle;
  }
  return Math.ceil(long);
}
