import type { PortName } from '../../hydraulics/index.js';

/** What the charts of a test show: numbers in SI, words in the reader's language. Plain data, for PDF and browser alike. */
export interface TraceStory {
  readonly unit: string;
  readonly decimal: string;
  readonly words: ChartWords;
  readonly trace: TraceColumns;
  readonly spans: readonly PortSpan[];
  readonly marks: readonly TraceMark[];
}

/** The readings as columns; a missing value is NaN. */
export interface TraceColumns {
  /** Microseconds, ascending. */
  readonly timeUs: Float64Array;
  readonly pressurePa: Float64Array;
  /** Null when the opposite port was never measured. */
  readonly oppositePa: Float64Array | null;
}

/** One attempt at one port, from lines connected to bled down. */
export interface PortSpan {
  readonly label: string;
  readonly port: PortName;
  readonly fromUs: number;
  readonly toUs: number;
  readonly overpressurePa: number;
  readonly settling: readonly { readonly fromUs: number; readonly toUs: number }[];
  readonly holds: readonly Hold[];
}

/** A dwell with what was made of it. */
export interface Hold {
  readonly label: string;
  /** Name of the stage: dwells of the same stage are drawn in one scale. */
  readonly stage: string;
  readonly targetPa: number;
  readonly fromUs: number;
  readonly toUs: number;
  /**
   * Lowest pressure at the end that the limit allows, what heat and creep took added: the readings end above it where the
   * loss is within the limit. Null when there is no limit.
   */
  readonly limitPa: number | null;
  /** Fall of the gauge pressure by the fit, heat and creep included, Pa/s; null without a fit. */
  readonly fallPaPerS: number | null;
  /** Expanded uncertainty of that rate, Pa/s. */
  readonly fallUPaPerS: number;
}

export interface TraceMark {
  readonly timeUs: number;
  readonly text: string;
}

export interface ChartWords {
  /** With `{value}` still to be filled in, as is `limit`. */
  readonly minutes: string;
  readonly pressure: string;
  readonly opposite: string;
  readonly target: string;
  readonly allowed: string;
  readonly overpressure: string;
  readonly readings: string;
  readonly fit: string;
  readonly band: string;
  readonly limit: string;
  readonly serials: string;
  readonly stabilise: string;
  readonly dwell: string;
}

/** The readings gathered into columns. */
export function gatherTrace(
  readings: Iterable<{
    readonly timeUs: number;
    readonly pressurePa: number | null;
    readonly oppositePa: number | null;
  }>,
): TraceColumns {
  const times: number[] = [];
  const pressures: number[] = [];
  const opposites: number[] = [];
  let oppositeSeen = false;
  for (const reading of readings) {
    times.push(reading.timeUs);
    pressures.push(reading.pressurePa ?? Number.NaN);
    opposites.push(reading.oppositePa ?? Number.NaN);
    oppositeSeen ||= reading.oppositePa !== null;
  }
  return {
    timeUs: Float64Array.from(times),
    pressurePa: Float64Array.from(pressures),
    oppositePa: oppositeSeen ? Float64Array.from(opposites) : null,
  };
}
