import type { Pressure, Temperature } from '../units/index.js';

/**
 * One reading of all channels. Integers, so that the record, the wire and a replay carry the very same values:
 * whole microseconds, whole pascals, and kelvins to the millikelvin.
 */
export interface Reading {
  /** Monotonic microseconds since the driver was opened; never the wall clock. */
  readonly timeUs: number;
  /** Gauge pressure at the port under test; null when the gauge gave no value (never the last one carried on). */
  readonly pressurePa: Pressure | null;
  /** Gauge pressure at the other port; null when not measured or not given. */
  readonly oppositePa: Pressure | null;
  /** Oil temperature; null when not measured or not given. */
  readonly oilK: Temperature | null;
  /** Bits of {@link readingFlags}; 0 for a good reading. */
  readonly flags: number;
}

export const readingFlags = {
  /** The gauge showed a no-value mark (dashes, NaN). */
  noValue: 1,
  overRange: 2,
  underRange: 4,
  /** The line or the device said it is holding, starting up or in a menu. */
  notLive: 8,
  /** A peak or minimum value, or another unit than the one set. */
  otherUnit: 16,
  /** The checksum did not agree; the value is null. */
  checksum: 32,
} as const;
