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
