import type { Reading, ReadingColumns } from '../gauge/index.js';

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
/** The roughness is a mean over so many steps, the newer ones weighing more. */
const mostSteps = 64;

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
const trimmedMean = (n: number, sumPa: number, lowPa: number, highPa: number): number =>
  n >= 4 ? (sumPa - lowPa - highPa) / (n - 2) : sumPa / n;

/** The signal with one more pressure. `secondDone` tells that a second (or a slower gauge's reading) was finished. */
export function track(
  signal: Signal,
  { timeUs }: Reading,
  pressurePa: number,
  overLimitPa: number,
): { signal: Signal; secondDone: boolean } {
  const running = new RunningSignal(signal);
  const secondDone = running.endsSecond(timeUs);
  running.add(timeUs, pressurePa, overLimitPa);
  return { signal: running.stand(), secondDone };
}

/** Within these a reading changes nothing but the signal. */
export interface QuietBounds {
  readonly lowestPa: number;
  /** No higher than the overpressure limit. */
  readonly highestPa: number;
  /** Of the other port. */
  readonly oppositePa: number;
  /** A reading with one of these is none. */
  readonly unusableFlags: number;
  /** The first time that is not taken any more. */
  readonly endUs: number;
  /** Whether a change from two seconds to the next two, as of {@link suddenChangePa}, is nothing at this noise and rate. */
  quiet(changePa: number, roughnessPa: number): boolean;
}

/** A signal on its way through many readings: the figures of {@link Signal}, changed in place. NaN stands for null. */
export class RunningSignal {
  #lastUs: number;
  #lastPa: number;
  #intervalUs: number;
  #roughnessPa: number;
  #roughnessSteps: number;
  readonly #seconds: number[];
  #openUs: number;
  #n: number;
  #sumPa: number;
  #lowPa: number;
  #highPa: number;
  #overCount: number;

  constructor(signal: Signal) {
    const { open } = signal;
    this.#lastUs = signal.lastUs ?? Number.NaN;
    this.#lastPa = signal.lastPa ?? Number.NaN;
    this.#intervalUs = signal.intervalUs ?? Number.NaN;
    this.#roughnessPa = signal.roughnessPa;
    this.#roughnessSteps = signal.roughnessSteps;
    this.#seconds = [...signal.seconds];
    this.#openUs = open === null ? Number.NaN : open.startUs;
    this.#n = open === null ? 0 : open.n;
    this.#sumPa = open === null ? 0 : open.sumPa;
    this.#lowPa = open === null ? 0 : open.lowPa;
    this.#highPa = open === null ? 0 : open.highPa;
    this.#overCount = signal.overCount;
  }

  /** A reading at that time would close the second that is open. */
  endsSecond(timeUs: number): boolean {
    return timeUs - this.#openUs >= secondUs;
  }

  add(timeUs: number, pressurePa: number, overLimitPa: number): void {
    const stepPa = Number.isNaN(this.#lastPa) ? 0 : Math.abs(pressurePa - this.#lastPa);
    this.#roughnessSteps = Math.min(mostSteps, this.#roughnessSteps + 1);
    this.#roughnessPa += (stepPa - this.#roughnessPa) / this.#roughnessSteps;
    if (this.endsSecond(timeUs)) {
      if (this.#seconds.length === secondsKept) this.#seconds.shift();
      this.#seconds.push(trimmedMean(this.#n, this.#sumPa, this.#lowPa, this.#highPa));
      this.#n = 0;
    }
    if (this.#n === 0) {
      this.#openUs = timeUs;
      this.#n = 1;
      this.#sumPa = this.#lowPa = this.#highPa = pressurePa;
    } else {
      this.#n += 1;
      this.#sumPa += pressurePa;
      if (pressurePa < this.#lowPa) this.#lowPa = pressurePa;
      if (pressurePa > this.#highPa) this.#highPa = pressurePa;
    }
    if (!Number.isNaN(this.#lastUs)) this.#intervalUs = usualInterval(this.#intervalUs, timeUs - this.#lastUs);
    this.#overCount = pressurePa > overLimitPa ? this.#overCount + 1 : 0;
    this.#lastUs = timeUs;
    this.#lastPa = pressurePa;
  }

  /**
   * Takes readings from `from` on while they stay within bounds: what {@link add} makes of each in turn. Returns the
   * first that does not; it is `from` for a signal that has just begun.
   */
  addQuiet(
    { length, timeUs, pressurePa, oppositePa, flags }: ReadingColumns,
    from: number,
    bounds: QuietBounds,
  ): number {
    if (this.#roughnessSteps < mostSteps || Number.isNaN(this.#intervalUs) || this.#n === 0) return from;
    const { lowestPa, highestPa, oppositePa: mostOppositePa, unusableFlags, endUs } = bounds;
    const seconds = this.#seconds;
    let [third, second, last] = [seconds.at(-3), seconds.at(-2), seconds.at(-1)];
    let [lastUs, lastPa, intervalUs, roughnessPa] = [this.#lastUs, this.#lastPa, this.#intervalUs, this.#roughnessPa];
    let [openUs, n, sumPa, lowPa, highPa] = [this.#openUs, this.#n, this.#sumPa, this.#lowPa, this.#highPa];
    let at = from;
    for (; at < length; at += 1) {
      const nowUs = timeUs[at] as number;
      const pascals = pressurePa[at] as number;
      const stepUs = nowUs - lastUs;
      if (!(pascals >= lowestPa && pascals <= highestPa) || (oppositePa[at] as number) > mostOppositePa) break;
      const flag = flags[at] as number;
      if (!(stepUs > 0 && nowUs < endUs) || (flag !== 0 && (flag & unusableFlags) !== 0)) break;
      if (stepUs > 2 * secondUs && stepUs > gapUs(intervalUs)) break;
      if (nowUs - openUs >= secondUs) {
        const mean = trimmedMean(n, sumPa, lowPa, highPa);
        const change = changePa(third, second, last, mean);
        if (change !== 0 && !bounds.quiet(change, roughnessPa)) break;
        seconds.push(mean);
        [third, second, last] = [second, last, mean];
        openUs = nowUs;
        n = 1;
        sumPa = lowPa = highPa = pascals;
      } else {
        n += 1;
        sumPa += pascals;
        if (pascals < lowPa) lowPa = pascals;
        if (pascals > highPa) highPa = pascals;
      }
      // The quotients by 64 and by 8 are exact, and so are these products.
      roughnessPa += (Math.abs(pascals - lastPa) - roughnessPa) * 0.015625;
      if (stepUs < 3 * intervalUs) intervalUs += (stepUs - intervalUs) * 0.125;
      lastUs = nowUs;
      lastPa = pascals;
    }
    if (at === from) return from;
    if (seconds.length > secondsKept) seconds.splice(0, seconds.length - secondsKept);
    [this.#lastUs, this.#lastPa, this.#intervalUs, this.#roughnessPa] = [lastUs, lastPa, intervalUs, roughnessPa];
    [this.#openUs, this.#n, this.#sumPa, this.#lowPa, this.#highPa] = [openUs, n, sumPa, lowPa, highPa];
    this.#overCount = 0;
    return at;
  }

  /** As plain JSON. */
  stand(): Signal {
    const open = {
      startUs: this.#openUs,
      n: this.#n,
      sumPa: this.#sumPa,
      lowPa: this.#lowPa,
      highPa: this.#highPa,
    };
    return {
      lastUs: orNull(this.#lastUs),
      lastPa: orNull(this.#lastPa),
      intervalUs: orNull(this.#intervalUs),
      roughnessPa: this.#roughnessPa,
      roughnessSteps: this.#roughnessSteps,
      seconds: [...this.#seconds],
      open: this.#n === 0 ? null : open,
      overCount: this.#overCount,
    };
  }
}

const orNull = (value: number): number | null => (Number.isNaN(value) ? null : value);

/** @param before NaN for none yet */
function usualInterval(before: number, stepUs: number): number {
  if (stepUs <= 0) return before;
  if (Number.isNaN(before)) return stepUs;
  return stepUs < 3 * before ? before + (stepUs - before) / 8 : before;
}

const gapUs = (intervalUs: number): number => Math.max(2 * secondUs, Number.isNaN(intervalUs) ? 0 : 5 * intervalUs);

/** Longer than this without a pressure is a gap: five usual intervals, at least two seconds. */
export const gapLimitUs = (signal: Signal): number => gapUs(signal.intervalUs ?? Number.NaN);

/**
 * How far the last two seconds stand above (positive) or below (negative) the two before them, by their nearest
 * members: a slow change gives next to nothing, a step its full height, and one wild second nothing at all.
 */
export const suddenChangePa = ({ seconds }: Signal): number =>
  changePa(seconds.at(-4), seconds.at(-3), seconds.at(-2), seconds.at(-1));

function changePa(a?: number, b?: number, c?: number, d?: number): number {
  if (a === undefined || b === undefined || c === undefined || d === undefined) return 0;
  const rise = Math.min(c, d) - Math.max(a, b);
  const drop = Math.min(a, b) - Math.max(c, d);
  return rise > 0 ? rise : drop > 0 ? -drop : 0;
}
