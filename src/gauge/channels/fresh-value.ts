import type { Reading } from '../reading.js';

/** A value is carried into another gauge's reading for one and a half of its own usual intervals. */
const intervals = 1.5;
/** At least so long, because adapters hand bytes on in pieces; never longer than the second. Common practice, no source. */
const [leastUs, mostUs] = [150_000, 2_000_000];
/** Taken for its interval before two readings have come. */
const assumedUs = 100_000;

/**
 * What one gauge said last, and for how long that may be said of another gauge's time. The rule: a value is as fresh as
 * one and a half of its own usual intervals, at least 0.15 s and at most 2 s; an older one is no value, and a reading
 * without a value ends the one before it at once.
 */
export class FreshValue {
  #reading: Reading | null = null;
  #intervalUs = assumedUs;

  /** Takes the gauge's next reading; null: nothing that it said counts from now on. */
  take(reading: Reading | null): void {
    const before = this.#reading;
    this.#reading = reading;
    if (reading === null || before === null) return;
    const stepUs = reading.timeUs - before.timeUs;
    // A silence is no interval.
    if (stepUs > 0 && stepUs < 3 * this.#intervalUs) this.#intervalUs += (stepUs - this.#intervalUs) / 4;
    else if (stepUs > 0) this.#intervalUs = Math.min(stepUs, 2 * this.#intervalUs);
  }

  /** How old a value may be, microseconds. */
  get freshForUs(): number {
    return Math.min(mostUs, Math.max(leastUs, intervals * this.#intervalUs));
  }

  /** The reading, when it is fresh at a time on the same clock; else null. */
  at(timeUs: number): Reading | null {
    const reading = this.#reading;
    return reading !== null && timeUs - reading.timeUs <= this.freshForUs ? reading : null;
  }
}
