import { pressurePa, temperatureK } from '../units/index.js';
import type { Reading } from './reading.js';

/** Readings as columns: for going through many of them. NaN stands for null. */
export class ReadingColumns implements Iterable<Reading> {
  readonly timeUs: Float64Array;
  readonly pressurePa: Float64Array;
  readonly oppositePa: Float64Array;
  /** Oil temperature, whole millikelvin. */
  readonly oilMilliK: Float64Array;
  readonly flags: Float64Array;

  /** Columns of one length. */
  constructor(
    timeUs: Float64Array,
    pressure: Float64Array,
    opposite: Float64Array,
    oilMilliK: Float64Array,
    flags: Float64Array,
  ) {
    this.timeUs = timeUs;
    this.pressurePa = pressure;
    this.oppositePa = opposite;
    this.oilMilliK = oilMilliK;
    this.flags = flags;
  }

  get length(): number {
    return this.timeUs.length;
  }

  /** The reading at an index below the length. */
  reading(index: number): Reading {
    const pascals = this.pressurePa[index] as number;
    const other = this.oppositePa[index] as number;
    const milli = this.oilMilliK[index] as number;
    return {
      timeUs: this.timeUs[index] as number,
      pressurePa: Number.isNaN(pascals) ? null : pressurePa(pascals),
      oppositePa: Number.isNaN(other) ? null : pressurePa(other),
      oilK: Number.isNaN(milli) ? null : temperatureK(milli / 1000),
      flags: this.flags[index] as number,
    };
  }

  *[Symbol.iterator](): Iterator<Reading> {
    for (let index = 0; index < this.length; index += 1) yield this.reading(index);
  }
}
