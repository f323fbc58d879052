import type { ReadingColumns } from '../../gauge/index.js';
import { BlockMeans, type Blocks, usableOilK } from './block-means.js';
import { SpikeWatch } from './spike-watch.js';

/** What a dwell's readings have come to so far. */
export interface TraceState {
  readonly blocks: Blocks;
  /** Readings used. */
  readonly used: number;
  /** Readings that came without a value or were marked as not to be used by the gauge. */
  readonly leftOut: number;
  readonly duplicates: number;
  readonly spikes: number;
  readonly greatestSpikePa: number;
  /** Noise between neighbouring readings, standard deviation, Pa. */
  readonly noisePa: number;
  readonly lowestPa: number;
  readonly highestPa: number;
  readonly typed: readonly TypedOil[];
  /** Least step between two oil temperatures in a row, K; 0 when they never changed. */
  readonly oilStepK: number;
  /** Time of the first reading handed in, with or without a value, microseconds. */
  readonly startUs: number | null;
  readonly lastUs: number | null;
  /** What makes the trace useless, in words, or null. */
  readonly broken: string | null;
}

/** An oil temperature read by a person. */
export interface TypedOil {
  readonly timeS: number;
  readonly oilK: number;
}

const typedKept = 64;

/** Takes the readings of a dwell one by one and keeps what the evaluation needs, in constant memory. */
export class DwellTrace {
  readonly #means = new BlockMeans();
  readonly #watch: SpikeWatch;
  #startUs: number | null = null;
  #lastUs: number | null = null;
  #used = 0;
  #leftOut = 0;
  #duplicates = 0;
  #lowest = Number.POSITIVE_INFINITY;
  #highest = Number.NEGATIVE_INFINITY;
  #typed: { timeUs: number; oilK: number }[] = [];
  #broken: string | null = null;
  #lastOilK = Number.NaN;
  #oilStepK = Number.POSITIVE_INFINITY;

  constructor(resolutionPa: number) {
    this.#watch = new SpikeWatch(resolutionPa, {
      add: (timeS, pressurePa, oilK) => {
        this.#used++;
        if (pressurePa < this.#lowest) this.#lowest = pressurePa;
        if (pressurePa > this.#highest) this.#highest = pressurePa;
        this.#probed(oilK);
        this.#means.add(timeS, pressurePa, oilK);
      },
      addColumns: (readings, from, until, startUs) => {
        this.#used += until - from;
        let [lowest, highest] = [this.#lowest, this.#highest];
        for (let at = from; at < until; at += 1) {
          const pascals = readings.pressurePa[at] as number;
          if (pascals < lowest) lowest = pascals;
          if (pascals > highest) highest = pascals;
          this.#probed(usableOilK((readings.oilMilliK[at] as number) / 1000));
        }
        [this.#lowest, this.#highest] = [lowest, highest];
        this.#means.addColumns(readings, from, until, startUs);
      },
    });
  }

  #probed(oilK: number): void {
    const step = Math.abs(oilK - this.#lastOilK);
    if (step > 5e-4 && step < this.#oilStepK) this.#oilStepK = step;
    if (!Number.isNaN(oilK)) this.#lastOilK = oilK;
  }

  add(timeUs: number, pressurePa: number | null, oilK: number | null, flags: number): void {
    if (this.#broken !== null) return;
    if (!Number.isFinite(timeUs)) {
      this.#broken = 'a reading came with a time that is not a number';
      return;
    }
    if (this.#startUs === null || this.#lastUs === null) this.#startUs = timeUs;
    else if (timeUs < this.#lastUs) {
      this.#broken = `time ran backwards by {seconds:${(this.#lastUs - timeUs) / 1e6}} after {seconds:${(this.#lastUs - this.#startUs) / 1e6}} of dwell`;
      return;
    } else if (timeUs === this.#lastUs) {
      this.#duplicates++;
      return;
    }
    this.#lastUs = timeUs;
    if (pressurePa === null || flags !== 0) {
      this.#leftOut++;
      return;
    }
    if (!Number.isFinite(pressurePa) || (oilK !== null && !Number.isFinite(oilK))) {
      this.#broken = `a reading after {seconds:${(timeUs - this.#startUs) / 1e6}} of dwell is not a number`;
      return;
    }
    this.#watch.add((timeUs - this.#startUs) / 1e6, pressurePa, oilK === null ? Number.NaN : usableOilK(oilK));
  }

  /** Readings of an index up to another: what {@link add} makes of each in turn. */
  addColumns(readings: ReadingColumns, from: number, until: number): void {
    const { timeUs, pressurePa, oilMilliK, flags } = readings;
    for (let at = from; at < until; at += 1) {
      const plain = this.#plainUntil(readings, at, until);
      if (plain > at && this.#startUs !== null) {
        this.#watch.addColumns(readings, at, plain, this.#startUs);
        this.#lastUs = timeUs[plain - 1] as number;
        at = plain;
        if (at === until) return;
      }
      const pascals = pressurePa[at] as number;
      const milli = oilMilliK[at] as number;
      this.add(
        timeUs[at] as number,
        Number.isNaN(pascals) ? null : pascals,
        Number.isNaN(milli) ? null : milli / 1000,
        flags[at] as number,
      );
    }
  }

  /** The first from an index on that is not simply one more reading. */
  #plainUntil({ timeUs, pressurePa, flags }: ReadingColumns, from: number, until: number): number {
    if (this.#startUs === null || this.#lastUs === null || this.#broken !== null) return from;
    let lastUs = this.#lastUs;
    let at = from;
    for (; at < until; at += 1) {
      const nowUs = timeUs[at] as number;
      const pascals = pressurePa[at] as number;
      // The difference is NaN for a value that is none, or that is no number.
      if (!(nowUs > lastUs && nowUs < Number.POSITIVE_INFINITY) || pascals - pascals !== 0 || flags[at] !== 0) break;
      lastUs = nowUs;
    }
    return at;
  }

  /** Keeps the first and the newest of what was typed when there is more than fits. */
  typedOil(timeUs: number, oilK: number): void {
    if (!Number.isFinite(timeUs) || !Number.isFinite(oilK)) {
      this.#broken ??= 'an oil temperature was typed that is not a number';
      return;
    }
    if (this.#typed.length === typedKept) this.#typed.splice(1, 1);
    this.#typed.push({ timeUs, oilK });
  }

  typedOilTakenBack(timeUs: number): void {
    this.#typed = this.#typed.filter((typed) => typed.timeUs !== timeUs);
  }

  /** Lets go of readings that are held back for the spike rule; for the end of the dwell. */
  close(): void {
    this.#watch.flush();
  }

  /** The first reading's time, us; null before it. */
  get startUs(): number | null {
    return this.#startUs;
  }

  state(): TraceState {
    const startUs = this.#startUs ?? 0;
    return {
      blocks: this.#means.snapshot(),
      used: this.#used,
      leftOut: this.#leftOut,
      duplicates: this.#duplicates,
      spikes: this.#watch.count,
      greatestSpikePa: this.#watch.greatestPa,
      noisePa: this.#watch.noisePa,
      lowestPa: this.#lowest,
      highestPa: this.#highest,
      oilStepK: Number.isFinite(this.#oilStepK) ? this.#oilStepK : 0,
      typed: this.#typed.map(({ timeUs, oilK }) => ({ timeS: (timeUs - startUs) / 1e6, oilK })),
      startUs: this.#startUs,
      lastUs: this.#lastUs,
      broken: this.#broken,
    };
  }
}
