import { type Reading, ReadingColumns } from '../../gauge/index.js';

/** Readings on their way into a chunk, as columns: their values are kept and nothing else of them. */
export class GatheredReadings {
  #timeUs = new Float64Array(16);
  #pressurePa = new Float64Array(16);
  #oppositePa = new Float64Array(16);
  #oilMilliK = new Float64Array(16);
  #flags = new Float64Array(16);
  #length = 0;

  /** All readings of a list. */
  static of(readings: Iterable<Reading>): GatheredReadings {
    const gathered = new GatheredReadings();
    for (const reading of readings) gathered.add(reading);
    return gathered;
  }

  get length(): number {
    return this.#length;
  }

  /** @throws Error when a value is not on the whole-number grid: that is a driver's bug. */
  add({ timeUs, pressurePa, oppositePa, oilK, flags }: Reading): void {
    const at = this.#length;
    if (at === this.#timeUs.length) this.#grow();
    this.#timeUs[at] = whole(timeUs, 'timeUs');
    this.#pressurePa[at] = pressurePa === null ? Number.NaN : whole(pressurePa, 'pressurePa');
    this.#oppositePa[at] = oppositePa === null ? Number.NaN : whole(oppositePa, 'oppositePa');
    this.#oilMilliK[at] = oilK === null ? Number.NaN : milliKelvin(oilK);
    this.#flags[at] = whole(flags, 'flags');
    this.#length = at + 1;
  }

  /** What was added, in the columns that the next readings go into. */
  columns(): ReadingColumns {
    const taken = (column: Float64Array): Float64Array => column.subarray(0, this.#length);
    return new ReadingColumns(
      taken(this.#timeUs),
      taken(this.#pressurePa),
      taken(this.#oppositePa),
      taken(this.#oilMilliK),
      taken(this.#flags),
    );
  }

  clear(): void {
    this.#length = 0;
  }

  #grow(): void {
    this.#timeUs = doubled(this.#timeUs);
    this.#pressurePa = doubled(this.#pressurePa);
    this.#oppositePa = doubled(this.#oppositePa);
    this.#oilMilliK = doubled(this.#oilMilliK);
    this.#flags = doubled(this.#flags);
  }
}

function doubled(column: Float64Array): Float64Array<ArrayBuffer> {
  const twice = new Float64Array(2 * column.length);
  twice.set(column);
  return twice;
}

function whole(value: number, name: string): number {
  if (!Number.isSafeInteger(value)) throw new Error(`a reading's ${name} is ${value}, not a whole number`);
  return value === 0 ? 0 : value;
}

function milliKelvin(kelvin: number): number {
  const milli = Math.round(kelvin * 1000);
  if (milli / 1000 !== kelvin) throw new Error(`a reading's oilK is ${kelvin}, not a whole number of millikelvin`);
  return milli;
}
