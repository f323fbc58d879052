import { type Reading, type ReadingColumns, readingFlags } from '../../gauge/index.js';
import type { Phase } from '../../holdtest/index.js';
import {
  type RiseReadings,
  readingNoisePa,
  type Step,
  type StrokeChain,
  stepsOf,
  strokeChains,
} from './booster-steps.js';
import type { SeenAttempt } from './check-stiffness.js';
import { OppositeWatch } from './opposite-port.js';

/** The rise of one attempt as the check remembers it: seconds on the gauge's clock, pascals above the vented zero. */
export interface SeenRise {
  /** New highs of the pressure, each at least a step above the one before; at most some five hundred. */
  readonly points: readonly RisePoint[];
  /** Last time the gauge still stood at zero; null when the readings began under pressure. */
  readonly ventedUntilS: number | null;
  /** Usual time between readings, s. */
  readonly intervalS: number;
}

export interface RisePoint {
  readonly s: number;
  readonly pa: number;
}

/** Steps between remembered highs: fine near zero, where trapped air shows, and in proportion higher up. */
const leastStepPa = 0.2e5;
const stepOfPressure = 0.01;
/** At the end of the rise, where a gauge that follows late creeps up. */
const stepAtEnd = 0.003;

/** A slow rise is smoothed over a part of the readings since the last remembered point, at most so many. */
const smoothedShare = 0.25;
const smoothedMost = 24;

/**
 * Remembers how the pressure left zero and rose, over all ramps of an attempt, in constant memory. Each remembered
 * point is the middle one of three readings, so that one wild reading moves nothing, or on a slow rise a mean of
 * several, so that noise does not pass a mark before the pressure does. Pressure let go again before the hold
 * (purging, a stage begun afresh) starts the memory afresh.
 */
export class RiseWatch {
  readonly #leastStepPa: number;
  #points: RisePoint[] = [];
  #ventedUntilS: number | null = null;
  #nextPa: number;
  /** The newest readings, each the middle one of three in pressure. */
  #recent: RisePoint[] = [];
  #last: RisePoint | null = null;
  #beforeLast: RisePoint | null = null;
  #sincePoint = 0;
  #intervals = 0;
  #intervalS = 0;

  /** @param resolutionPa step of the gauge's display */
  constructor(resolutionPa: number) {
    this.#leastStepPa = Math.max(leastStepPa, 3 * resolutionPa);
    this.#nextPa = this.#leastStepPa;
  }

  /**
   * A reading taken before the hold, zero to target.
   * @param zeroPa what the vented gauge reads
   * @param atEnd the band of the target is reached
   */
  add(timeUs: number, pressurePa: number, zeroPa: number, atEnd = false): void {
    const now = { s: timeUs / 1e6, pa: pressurePa - zeroPa };
    const [first, middle] = [this.#beforeLast, this.#last];
    this.#beforeLast = middle;
    this.#last = now;
    if (!middle) return;
    this.#intervals += 1;
    this.#intervalS += (Math.min(now.s - middle.s, 10) - this.#intervalS) / Math.min(this.#intervals, 64);
    this.#recent.push({ s: middle.s, pa: first ? medianOf(first.pa, middle.pa, now.pa) : middle.pa });
    if (this.#recent.length > smoothedMost) this.#recent.shift();
    this.#sincePoint += 1;
    const lastPa = this.#points.at(-1)?.pa ?? 0;
    if (atEnd) this.#nextPa = lastPa + Math.max(this.#leastStepPa, stepAtEnd * lastPa);
    const newest = meanOf(this.#recent, 1);
    const mean = meanOf(this.#recent, Math.floor(smoothedShare * this.#sincePoint));
    const smooth = newest.pa - mean.pa > this.#leastStepPa ? newest : mean;
    if (smooth.pa < this.#leastStepPa) {
      this.#ventedUntilS = middle.s;
      this.#points = [];
      this.#nextPa = this.#leastStepPa;
    } else if (smooth.pa >= this.#nextPa) {
      this.#points.push(smooth);
      this.#sincePoint = 0;
      this.#nextPa = smooth.pa + Math.max(this.#leastStepPa, stepOfPressure * smooth.pa);
    }
  }

  /** What was seen so far. */
  seen(): SeenRise {
    return { points: this.#points, ventedUntilS: this.#ventedUntilS, intervalS: this.#intervalS };
  }
}

/** The mean of the newest so many, at least of the newest. */
function meanOf(recent: readonly RisePoint[], count: number): RisePoint {
  const taken = recent.slice(-Math.max(1, count));
  const mean = { s: 0, pa: 0 };
  for (const { s, pa } of taken) {
    mean.s += s / taken.length;
    mean.pa += pa / taken.length;
  }
  return mean;
}

const medianOf = (a: number, b: number, c: number): number => Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));

/** The steps that a rise shows. */
export interface SeenSteps {
  /** Every rise between two levels, of a stroke or of a pump. */
  readonly steps: readonly Step[];
  readonly chains: readonly StrokeChain[];
}

/** Readings closer than this are taken together, s. */
const apartS = 0.09;
/** More are taken together in pairs. */
const mostKept = 6000;
/** Vented readings that are kept before the rise. */
const ventedKept = 40;
/** The last of them may already be leaving zero. */
const leaving = 12;
/** Below this the gauge still stands at zero, Pa and steps of its digits. */
const [ventedPa, ventedSteps] = [0.5e5, 3];

/** Remembers the readings of one rise, in constant memory, for the steps that its strokes make. */
export class RiseReadingsWatch {
  readonly #resolutionPa: number;
  #vented: { s: number; pa: number }[] = [];
  #rise: { s: number; pa: number }[] = [];
  #open: { s: number; pa: number; count: number; fromS: number } | null = null;
  #apartS = apartS;
  #steps: { readonly of: number; readonly seen: SeenSteps } | null = null;

  /** @param resolutionPa step of the gauge's display */
  constructor(resolutionPa: number) {
    this.#resolutionPa = resolutionPa;
  }

  /** @param pa above the vented zero */
  add(timeUs: number, pa: number): void {
    const s = timeUs / 1e6;
    const open = this.#open;
    if (open && s - open.fromS < this.#apartS) {
      open.count += 1;
      open.s += (s - open.s) / open.count;
      open.pa += (pa - open.pa) / open.count;
      return;
    }
    if (open) this.#keep({ s: open.s, pa: open.pa });
    this.#open = { s, pa, count: 1, fromS: s };
  }

  #keep(reading: { s: number; pa: number }): void {
    if (reading.pa < ventedPa + ventedSteps * this.#resolutionPa) {
      this.#rise = [];
      this.#apartS = apartS;
      this.#vented.push(reading);
      if (this.#vented.length > ventedKept) this.#vented.shift();
      return;
    }
    this.#rise.push(reading);
    if (this.#rise.length < mostKept) return;
    this.#apartS *= 2;
    this.#rise = this.#rise.flatMap((one, i) => {
      const next = this.#rise[i + 1];
      return i % 2 === 0 && next ? [{ s: (one.s + next.s) / 2, pa: (one.pa + next.pa) / 2 }] : [];
    });
  }

  /** The steps of the rise so far. */
  seen(): SeenSteps {
    if (this.#steps?.of !== this.#rise.length) this.#steps = { of: this.#rise.length, seen: this.#look() };
    return this.#steps.seen;
  }

  #look(): SeenSteps {
    const all = [...this.#vented, ...this.#rise];
    if (this.#open) all.push(this.#open);
    const readings: RiseReadings = {
      s: Float64Array.from(all, ({ s }) => s),
      pa: Float64Array.from(all, ({ pa }) => pa),
    };
    const noisePa = readingNoisePa(
      this.#vented.slice(0, this.#vented.length > 2 * leaving ? -leaving : undefined).map(({ pa }) => pa),
      this.#resolutionPa,
    );
    return { steps: stepsOf(readings, noisePa), chains: strokeChains(readings, noisePa) };
  }
}

const unusable = readingFlags.otherUnit | readingFlags.checksum;

/** Remembers of one attempt, in constant memory, what the stiffness check must know: the rise, and the other port. */
export class StiffnessWatch {
  readonly #resolutionPa: number;
  readonly #rise: RiseWatch;
  readonly #readings: RiseReadingsWatch;
  readonly #opposite = new OppositeWatch();
  #zeroPa = 0;
  #highestPa = 0;
  #holding = false;

  constructor(resolutionPa: number) {
    this.#resolutionPa = resolutionPa;
    this.#rise = new RiseWatch(resolutionPa);
    this.#readings = new RiseReadingsWatch(resolutionPa);
  }

  /** @param phase the phase in which the reading arrives */
  add(phase: Phase, { timeUs, pressurePa, oppositePa, flags }: Reading): void {
    if (pressurePa === null || (flags & unusable) !== 0) return;
    if (phase.name === 'ready') this.#zeroPa = phase.zeroCount > 0 ? phase.zeroMeanPa : 0;
    const ramping = phase.name === 'ready' || phase.name === 'ramp';
    // A gauge that follows late still rises when the band is reached.
    const stillRising = phase.name === 'stabilise' && pressurePa > this.#highestPa;
    if (ramping || stillRising) {
      this.#rise.add(timeUs, pressurePa, this.#zeroPa, stillRising);
      this.#readings.add(timeUs, pressurePa - this.#zeroPa);
    }
    this.#highestPa = ramping ? pressurePa : Math.max(this.#highestPa, pressurePa);
    const holding = phase.name === 'dwell';
    if (holding && !this.#holding) this.#opposite.startAfresh();
    this.#holding = holding;
    if (holding && oppositePa !== null) this.#opposite.add(pressurePa, oppositePa);
  }

  /** Readings of a dwell that have a pressure, of an index up to another: what {@link add} makes of each in turn. */
  addHeld({ pressurePa, oppositePa }: ReadingColumns, from: number, until: number): void {
    if (!this.#holding) this.#opposite.startAfresh();
    this.#holding = true;
    for (let at = from; at < until; at += 1) {
      const other = oppositePa[at] as number;
      if (!Number.isNaN(other)) this.#opposite.add(pressurePa[at] as number, other);
    }
  }

  seen(): SeenAttempt {
    return {
      rise: this.#rise.seen(),
      steps: this.#readings.seen(),
      opposite: this.#opposite.seen(),
      resolutionPa: this.#resolutionPa,
    };
  }
}
