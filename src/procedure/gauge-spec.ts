import type { Pressure, PressureDifference } from '../units/index.js';

/** What a test must know of a gauge: what it can show and how well. From the shop file or the job's `[gauge]` table. */
export interface GaugeSpec {
  /** The serial on the instrument itself, never the name of a port. */
  readonly serial: string;
  readonly maker?: string;
  readonly model?: string;
  readonly rangeLowPa: Pressure;
  readonly rangeHighPa: Pressure;
  /** One step of the display or of the digits sent. */
  readonly resolutionPa: PressureDifference;
  /** Limit of error of an absolute pressure, half-width, as a fraction of the span. */
  readonly accuracyOfSpan: number;
  /** Stability over a dwell (drift, hysteresis), half-width, pascals; when absent a stated share of the accuracy is used. */
  readonly stabilityPa?: PressureDifference;
  /** The pressure unit on its display, `bar`; absent when nobody said. */
  readonly unit?: string;
  readonly calibration?: CalibrationSpec;
}

/** The calibration in force at the time of a test. */
export interface CalibrationSpec {
  readonly certificate: string;
  readonly laboratory: string;
  /** ISO dates, `2026-03-14`. */
  readonly date: string;
  readonly due: string;
  /** Expanded uncertainty (k = 2) of the calibration, pascals. */
  readonly expandedUPa?: PressureDifference;
  /** Corrections to add to an indicated pressure, by indicated pressure, ascending; straight lines between. */
  readonly corrections?: readonly { readonly atPa: Pressure; readonly addPa: PressureDifference }[];
}
