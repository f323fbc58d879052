import { type PressureDifference, pressureDifferencePa } from '../units/index.js';
import type { Reading } from './reading.js';

/** What a stretch of readings shows of the gauge itself. */
export interface SeenSignal {
  readonly readings: number;
  /** Readings that carried no pressure. */
  readonly withoutValue: number;
  /** Readings a second from the first to the last; null for fewer than two. */
  readonly ratePerS: number | null;
  /** Standard deviation of the time between two readings, s; null for fewer than three. */
  readonly jitterS: number | null;
  /** Standard deviation of the pressure about a straight course through its neighbours; null for fewer than five. */
  readonly noisePa: PressureDifference | null;
  /** Smallest step between two pressures shown: the resolution as seen; null while the value stands still. */
  readonly stepPa: PressureDifference | null;
}

const fewestForNoise = 5;
/** Two values a pascal or two apart are one value, rounded twice. */
const samePa = 2;

/**
 * Rate, jitter, noise and resolution as seen. The noise is taken from second differences, whose variance is six times
 * that of white noise, so that a pressure which falls steadily is not mistaken for a noisy one.
 * @example seenSignal(readings of 100, 102, 100, 102, 100 Pa)?.noisePa // 1.63
 */
export function seenSignal(readings: readonly Reading[]): SeenSignal {
  const values = readings.flatMap(({ pressurePa }) => (pressurePa === null ? [] : [pressurePa]));
  const intervals = steps(readings.map(({ timeUs }) => timeUs / 1e6));
  const seconds = intervals.reduce((sum, one) => sum + one, 0);
  const bends = steps(steps(values));
  const noise = Math.sqrt(bends.reduce((sum, one) => sum + one * one, 0) / (6 * bends.length));
  const risen = steps([...new Set(values)].sort((a, b) => a - b)).filter((step) => step > samePa);
  return {
    readings: readings.length,
    withoutValue: readings.length - values.length,
    ratePerS: seconds > 0 ? intervals.length / seconds : null,
    jitterS: intervals.length < 2 ? null : deviation(intervals),
    noisePa: values.length < fewestForNoise ? null : pressureDifferencePa(noise),
    stepPa: risen.length === 0 ? null : pressureDifferencePa(Math.min(...risen)),
  };
}

const steps = (values: readonly number[]): number[] =>
  values.slice(1).map((value, index) => value - (values[index] ?? value));

function deviation(values: readonly number[]): number {
  const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
  return Math.sqrt(values.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (values.length - 1));
}
