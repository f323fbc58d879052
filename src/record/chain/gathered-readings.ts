import { type Reading, ReadingColumns } from '../../gauge/index.js';

/** Readings on their way into a chunk, as columns: their values are kept and nothing else of them. */
export class GatheredReadings {
  /** Of one length all. */
  #room = columnsFor(16);
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

  /** @throws Error when a value is not on the whole-number grid, or above 2^50: that is a driver's bug. */
  add(reading: Reading): void {
    const at = this.#length;
    if (at === this.#room.length) this.#grow();
    const room = this.#room;
    const { pressurePa, oppositePa, oilK } = reading;
    room.timeUs[at] = whole(reading.timeUs, 'timeUs');
    room.pressurePa[at] = pressurePa === null ? Number.NaN : whole(pressurePa, 'pressurePa');
    room.oppositePa[at] = oppositePa === null ? Number.NaN : whole(oppositePa, 'oppositePa');
    room.oilMilliK[at] = oilK === null ? Number.NaN : milliKelvin(oilK);
    room.flags[at] = whole(reading.flags, 'flags');
    this.#length = at + 1;
  }

  /** What was added, in the columns that the next readings go into. */
  columns(): ReadingColumns {
    return mapped(this.#room, (column) => column.subarray(0, this.#length));
  }

  clear(): void {
    this.#length = 0;
  }

  #grow(): void {
    this.#room = mapped(this.#room, (column) => {
      const twice = new Float64Array(2 * column.length);
      twice.set(column);
      return twice;
    });
  }
}

const columnsFor = (count: number): ReadingColumns =>
  new ReadingColumns(
    new Float64Array(count),
    new Float64Array(count),
    new Float64Array(count),
    new Float64Array(count),
    new Float64Array(count),
  );

const mapped = (columns: ReadingColumns, change: (column: Float64Array) => Float64Array): ReadingColumns =>
  new ReadingColumns(
    change(columns.timeUs),
    change(columns.pressurePa),
    change(columns.oppositePa),
    change(columns.oilMilliK),
    change(columns.flags),
  );

/** 35 years of microseconds: room enough that no difference of two values is too large to be written. */
const largest = 2 ** 50;

function whole(value: number, name: string): number {
  if (!Number.isSafeInteger(value)) throw new Error(`a reading's ${name} is ${value}, not a whole number`);
  if (Math.abs(value) > largest) throw new Error(`a reading's ${name} is ${value}, more than can be kept`);
  return value === 0 ? 0 : value;
}

function milliKelvin(kelvin: number): number {
  const milli = Math.round(kelvin * 1000);
  if (milli / 1000 !== kelvin) throw new Error(`a reading's oilK is ${kelvin}, not a whole number of millikelvin`);
  return milli;
}
