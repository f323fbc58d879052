import { type Reading, ReadingColumns } from '../../gauge/index.js';
import { GrowingColumn } from './growing-column.js';

/** Readings on their way into a chunk, as columns: their values are kept and nothing else of them. */
export class GatheredReadings {
  readonly #timeUs = new GrowingColumn();
  readonly #pressurePa = new GrowingColumn();
  readonly #oppositePa = new GrowingColumn();
  readonly #oilMilliK = new GrowingColumn();
  readonly #flags = new GrowingColumn();
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
    const milliK = oilK === null ? Number.NaN : milliKelvin(oilK);
    const pascals = pressurePa === null ? Number.NaN : whole(pressurePa, 'pressurePa');
    const opposite = oppositePa === null ? Number.NaN : whole(oppositePa, 'oppositePa');
    const marks = whole(flags, 'flags');
    this.#timeUs.add(whole(timeUs, 'timeUs'));
    this.#pressurePa.add(pascals);
    this.#oppositePa.add(opposite);
    this.#oilMilliK.add(milliK);
    this.#flags.add(marks);
    this.#length += 1;
  }

  /** What was added, in the columns that the next readings go into. */
  columns(): ReadingColumns {
    return new ReadingColumns(
      this.#timeUs.taken(),
      this.#pressurePa.taken(),
      this.#oppositePa.taken(),
      this.#oilMilliK.taken(),
      this.#flags.taken(),
    );
  }

  clear(): void {
    for (const column of [this.#timeUs, this.#pressurePa, this.#oppositePa, this.#oilMilliK, this.#flags])
      column.clear();
    this.#length = 0;
  }
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
