import type { Reading } from '../gauge/index.js';

/** What the phases remember of the pressure signal: enough to see gaps, steps and noise. Plain JSON. */
export interface Signal {
  /** The newest reading that had a pressure. */
  readonly lastUs: number | null;
  readonly lastPa: number | null;
  /** Usual time between readings, microseconds. */
  readonly intervalUs: number | null;
  /** Mean step between neighbouring readings, pascals: a measure of noise. */
  readonly roughnessPa: number;
  /** Steps that went into it, since it was last begun afresh. */
  readonly roughnessSteps: number;
  /** Trimmed means of the last finished seconds, newest last; at most {@link secondsKept}. */
  readonly seconds: readonly number[];
  readonly open: OpenSecond | null;
  /** Readings above the overpressure limit in a row. */
  readonly overCount: number;
}

interface OpenSecond {
  readonly startUs: number;
  readonly n: number;
  readonly sumPa: number;
  readonly lowPa: number;
  readonly highPa: number;
}

const secondsKept = 10;
const secondUs = 1_000_000;

export const freshSignal: Signal = {
  lastUs: null,
  lastPa: null,
  intervalUs: null,
  roughnessPa: 0,
  roughnessSteps: 0,
  seconds: [],
  open: null,
  overCount: 0,
};

/** A second's mean without its highest and lowest reading, so that one wild reading moves nothing. */
const trimmedMean = (open: OpenSecond): number =>
  open.n >= 4 ? (open.sumPa - open.lowPa - open.highPa) / (open.n - 2) : open.sumPa / open.n;

/** The signal with one more pressure. `secondDone` tells that a second (or a slower gauge's reading) was finished. */
export function track(
  signal: Signal,
  reading: Reading,
  pressurePa: number,
  overLimitPa: number,
): { signal: Signal; secondDone: boolean } {
  const { lastUs, lastPa } = signal;
  const stepUs = lastUs === null ? null : reading.timeUs - lastUs;
  const stepPa = lastPa === null ? 0 : Math.abs(pressurePa - lastPa);
  const roughnessSteps = Math.min(64, signal.roughnessSteps + 1);
  const roughnessPa = signal.roughnessPa + (stepPa - signal.roughnessPa) / roughnessSteps;
  const open = signal.open;
  const finished = open !== null && reading.timeUs - open.startUs >= secondUs;
  const seconds = finished ? [...signal.seconds.slice(1 - secondsKept), trimmedMean(open)] : signal.seconds;
  const grown =
    open === null || finished
      ? { startUs: reading.timeUs, n: 1, sumPa: pressurePa, lowPa: pressurePa, highPa: pressurePa }
      : {
          startUs: open.startUs,
          n: open.n + 1,
          sumPa: open.sumPa + pressurePa,
          lowPa: Math.min(open.lowPa, pressurePa),
          highPa: Math.max(open.highPa, pressurePa),
        };
  return {
    signal: {
      lastUs: reading.timeUs,
      lastPa: pressurePa,
      intervalUs: usualInterval(signal.intervalUs, stepUs),
      roughnessPa,
      roughnessSteps,
      seconds,
      open: grown,
      overCount: pressurePa > overLimitPa ? signal.overCount + 1 : 0,
    },
    secondDone: finished,
  };
}

function usualInterval(before: number | null, stepUs: number | null): number | null {
  if (stepUs === null || stepUs <= 0) return before;
  if (before === null) return stepUs;
  return stepUs < 3 * before ? before + (stepUs - before) / 8 : before;
}

/** Longer than this without a pressure is a gap: five usual intervals, at least two seconds. */
export const gapLimitUs = (signal: Signal): number => Math.max(2 * secondUs, 5 * (signal.intervalUs ?? 0));

/**
 * How far the last two seconds stand above (positive) or below (negative) the two before them, by their nearest
 * members: a slow change gives next to nothing, a step its full height, and one wild second nothing at all.
 */
export function suddenChangePa(signal: Signal): number {
  const [a, b, c, d] = signal.seconds.slice(-4);
  if (a === undefined || b === undefined || c === undefined || d === undefined) return 0;
  const rise = Math.min(c, d) - Math.max(a, b);
  const drop = Math.min(a, b) - Math.max(c, d);
  return rise > 0 ? rise : drop > 0 ? -drop : 0;
}
