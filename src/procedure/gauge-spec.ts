import type { Pressure, PressureDifference, Temperature, TemperatureDifference } from '../units/index.js';

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

/** A calibration as its certificate states it; in a plan, the one in force at the time of the test. */
export interface CalibrationSpec {
  readonly certificate: string;
  readonly laboratory: string;
  /** ISO dates, `2026-03-14`. */
  readonly date: string;
  readonly due: string;
  /** Expanded uncertainty (k = 2) of the calibration, pascals. */
  readonly expandedUPa?: PressureDifference;
  /** The same of a temperature, for an oil probe. */
  readonly expandedUK?: TemperatureDifference;
  /** Half-width of the error that the laboratory confirms, pascals. */
  readonly accuracyPa?: PressureDifference;
  /** Pressures that it covers, the ends included; absent: the certificate does not say. */
  readonly coversLowPa?: Pressure;
  readonly coversHighPa?: Pressure;
  /** What the gauge showed as it came in, before anything was adjusted, by reference pressure, ascending. */
  readonly asFound?: readonly CalibrationPoint[];
  /** As it left; absent: nothing was adjusted. */
  readonly asLeft?: readonly CalibrationPoint[];
  /** Corrections to add to an indicated pressure, by indicated pressure, ascending; straight lines between. */
  readonly corrections?: readonly Correction[];
}

/** What the reference said and what the gauge showed. */
export interface CalibrationPoint {
  readonly referencePa: Pressure;
  readonly shownPa: Pressure;
}

/** What to add to an indicated pressure. */
export interface Correction {
  readonly atPa: Pressure;
  readonly addPa: PressureDifference;
}

/** What a test knows of the instrument that gives its oil temperature. Absent figures: nobody stated them. */
export interface OilProbeSpec {
  readonly serial: string;
  readonly maker?: string;
  readonly model?: string;
  readonly rangeLowK?: Temperature;
  readonly rangeHighK?: Temperature;
  readonly resolutionK?: TemperatureDifference;
  /** Limit of error, half-width, kelvins. */
  readonly accuracyK?: TemperatureDifference;
  readonly calibration?: CalibrationSpec;
}
