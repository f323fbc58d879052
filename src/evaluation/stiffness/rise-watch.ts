/** The rise of one attempt as the check remembers it: seconds on the gauge's clock, pascals above the vented zero. */
export interface SeenRise {
  /** New highs of the pressure, each at least a step above the one before; at most some three hundred. */
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
const stepOfPressure = 0.02;

/**
 * Remembers how the pressure left zero and rose, over all ramps of an attempt, in constant memory. Each remembered
 * point is the middle one of three readings, so that one wild reading moves nothing. Pressure let go again before the
 * hold (purging, a stage begun afresh) starts the memory afresh.
 */
export class RiseWatch {
  readonly #leastStepPa: number;
  #points: RisePoint[] = [];
  #ventedUntilS: number | null = null;
  #nextPa: number;
  #last: RisePoint | null = null;
  #beforeLast: RisePoint | null = null;
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
   */
  add(timeUs: number, pressurePa: number, zeroPa: number): void {
    const now = { s: timeUs / 1e6, pa: pressurePa - zeroPa };
    const [first, middle] = [this.#beforeLast, this.#last];
    this.#beforeLast = middle;
    this.#last = now;
    if (!middle) return;
    this.#intervals += 1;
    this.#intervalS += (Math.min(now.s - middle.s, 10) - this.#intervalS) / Math.min(this.#intervals, 64);
    const pa = first ? medianOf(first.pa, middle.pa, now.pa) : middle.pa;
    if (pa < this.#leastStepPa) {
      this.#ventedUntilS = middle.s;
      if (this.#points.length > 0) this.#points = [];
      this.#nextPa = this.#leastStepPa;
    } else if (pa >= this.#nextPa) {
      this.#points.push({ s: middle.s, pa });
      this.#nextPa = pa + Math.max(this.#leastStepPa, stepOfPressure * pa);
    }
  }

  /** What was seen so far. */
  seen(): SeenRise {
    return { points: this.#points, ventedUntilS: this.#ventedUntilS, intervalS: this.#intervalS };
  }
}

const medianOf = (a: number, b: number, c: number): number => Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
