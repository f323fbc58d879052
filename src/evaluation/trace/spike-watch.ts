import type { ReadingColumns } from '../../gauge/index.js';
import { median } from '../statistics/lines.js';
import { usableOilK } from './block-means.js';

/**
 * The rule by which a reading counts as a spike, printed wherever one was left out: one or two readings in a row that
 * stand off from the three before them by more than 8 standard deviations of the noise and 4 steps of the display,
 * while the three after them have come back. A step, which doesn't come back, stays in.
 */
export const spikeRule =
  'one or two readings off by more than 8 standard deviations of the noise and 4 steps of the display, with the three before and the three after in agreement';

/** Who gets the readings that are none. */
export interface TraceSink {
  add(timeS: number, pressurePa: number, oilK: number): void;
  /** Readings of an index up to another; seconds count from `startUs`. */
  addColumns(readings: ReadingColumns, from: number, until: number, startUs: number): void;
}

type Held = readonly [timeS: number, pressurePa: number, oilK: number];

const warmUp = 17;
/** Mean of |difference of two neighbours| of normal noise, in standard deviations: 2/sqrt(pi). */
const meanDifference = 2 / Math.sqrt(Math.PI);
/** Median of the same. */
const medianDifference = 0.953873;

/** Hands readings on in order, except spikes; the noise is learnt from the differences of neighbours as they come. */
export class SpikeWatch {
  readonly #sink: TraceSink;
  readonly #leastPa: number;
  #held: Held[] = [];
  #warm = false;
  #a = 0;
  #b = 0;
  #c = 0;
  #sumOfDifferences = 0;
  #sumOfSquares = 0;
  #differences = 0;
  #threshold = 0;
  /** How many readings were left out, and the greatest departure among them, Pa. */
  count = 0;
  greatestPa = 0;

  constructor(resolutionPa: number, sink: TraceSink) {
    this.#leastPa = 4 * resolutionPa;
    this.#sink = sink;
  }

  add(timeS: number, pressurePa: number, oilK: number): void {
    if (this.#warm && this.#held.length === 0 && Math.abs(pressurePa - this.#c) <= this.#threshold) {
      this.#accept(timeS, pressurePa, oilK);
      return;
    }
    this.#held.push([timeS, pressurePa, oilK]);
    if (!this.#warm) {
      if (this.#held.length >= warmUp) this.#begin();
    } else if (this.#held.length >= 5) this.#decide();
  }

  /** Readings of an index up to another, each with a pressure: what {@link add} makes of each in turn. */
  addColumns(readings: ReadingColumns, from: number, until: number, startUs: number): void {
    const { timeUs, pressurePa, oilMilliK } = readings;
    for (let at = from; at < until; at += 1) {
      const calm = this.#acceptCalm(pressurePa, at, until);
      if (calm > at) this.#sink.addColumns(readings, at, calm, startUs);
      at = calm;
      if (at === until) return;
      const oilK = usableOilK((oilMilliK[at] as number) / 1000);
      this.add(((timeUs[at] as number) - startUs) / 1e6, pressurePa[at] as number, oilK);
    }
  }

  /** Learns from the readings as long as none is suspect, and returns the first that is. */
  #acceptCalm(pressurePa: Float64Array, from: number, until: number): number {
    if (!this.#warm || this.#held.length > 0 || this.#differences < warmUp) return from;
    const least = this.#leastPa;
    let [a, b, c, threshold] = [this.#a, this.#b, this.#c, this.#threshold];
    let [sum, squares, differences] = [this.#sumOfDifferences, this.#sumOfSquares, this.#differences];
    let at = from;
    for (; at < until; at += 1) {
      const pascals = pressurePa[at] as number;
      const difference = pascals - c;
      const size = Math.abs(difference);
      if (!(size <= threshold)) break;
      sum += size;
      squares += difference * difference;
      differences += 1;
      threshold = Math.max((8 * sum) / (differences * meanDifference), least);
      a = b;
      b = c;
      c = pascals;
    }
    [this.#a, this.#b, this.#c, this.#threshold] = [a, b, c, threshold];
    [this.#sumOfDifferences, this.#sumOfSquares, this.#differences] = [sum, squares, differences];
    return at;
  }

  /** Hands on what is still held back. */
  flush(): void {
    if (!this.#warm && this.#held.length > 0) this.#begin();
    while (this.#held.length > 0) this.#decide();
  }

  /** Standard deviation of the noise between neighbouring readings, Pa: from their differences, hence free of drift. */
  get noisePa(): number {
    return this.#differences > 0 ? Math.sqrt(this.#sumOfSquares / this.#differences / 2) : 0;
  }

  /** Learns a first noise from the median difference of the first readings, then lets them through the watch. */
  #begin(): void {
    const first = this.#held;
    const steps = Float64Array.from({ length: Math.max(0, first.length - 1) }, (_, i) =>
      Math.abs((first[i + 1]?.[1] ?? 0) - (first[i]?.[1] ?? 0)),
    );
    const sd = steps.length > 0 ? median(steps) / medianDifference : 0;
    this.#threshold = Math.max(8 * sd, this.#leastPa);
    this.#warm = true;
    this.#held = [];
    this.#a = this.#b = this.#c = first[0]?.[1] ?? 0;
    for (const [timeS, pressurePa, oilK] of first) this.add(timeS, pressurePa, oilK);
  }

  /** Judges the oldest reading held. */
  #decide(): void {
    const held = this.#held;
    const reference = Math.max(Math.min(this.#a, this.#b), Math.min(Math.max(this.#a, this.#b), this.#c));
    const off = (index: number): number => (held[index]?.[1] ?? 0) - reference;
    const first = off(0);
    const wild = (index: number): boolean => off(index) * Math.sign(first) > this.#threshold;
    const width = held.length > 1 && wild(1) ? 2 : 1;
    const back = held.slice(width, width + 3);
    const returned = back.length === 3 && back.every((_, i) => Math.abs(off(width + i)) <= this.#threshold);
    if (wild(0) && returned) {
      this.count += width;
      for (let i = 0; i < width; i++) this.greatestPa = Math.max(this.greatestPa, Math.abs(off(i)));
      held.splice(0, width);
    } else {
      const [reading] = held.splice(0, 1);
      if (reading) this.#accept(...reading);
    }
    this.#release();
  }

  /** Lets through what is no longer suspect. */
  #release(): void {
    while (this.#held.length > 0) {
      const [reading] = this.#held;
      if (!reading || Math.abs(reading[1] - this.#c) > this.#threshold) return;
      this.#held.shift();
      this.#accept(...reading);
    }
  }

  #accept(timeS: number, pressurePa: number, oilK: number): void {
    const difference = pressurePa - this.#c;
    const size = Math.abs(difference);
    if (size <= this.#threshold || this.#differences === 0) {
      this.#sumOfDifferences += size;
      this.#sumOfSquares += difference * difference;
      this.#differences++;
      if (this.#differences >= warmUp)
        this.#threshold = Math.max((8 * this.#sumOfDifferences) / (this.#differences * meanDifference), this.#leastPa);
    }
    this.#a = this.#b;
    this.#b = this.#c;
    this.#c = pressurePa;
    this.#sink.add(timeS, pressurePa, oilK);
  }
}
