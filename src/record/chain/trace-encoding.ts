import { type Reading, ReadingColumns } from '../../gauge/index.js';
import { ByteReader, ByteWriter, damaged } from './bytes.js';
import { type ColumnState, decodeColumn, encodeColumn, freshColumn } from './column-encoding.js';

/**
 * Encoding 1 of readings (link kind 1): the count, two bytes with how each column is written, then the columns time,
 * pressure, opposite pressure, oil temperature, flags. Microseconds, pascals, millikelvin, bits: whole numbers all,
 * so that a reading comes back as it went in, bit for bit.
 *
 * A column goes on where the chunk before it ended, so a chunk of ten readings pays nothing for its first values;
 * for that the chunks of a test are read in order, with one cursor.
 */
export interface TraceCursor {
  readonly columns: readonly [ColumnState, ColumnState, ColumnState, ColumnState, ColumnState];
}

/** A cursor at the start of a test. */
export const traceStart = (): TraceCursor => ({
  columns: [freshColumn(true), freshColumn(false), freshColumn(false), freshColumn(false), freshColumn(false)],
});

/** More readings than any chunk holds: a count above it is damage. */
export const mostReadingsInChunk = 65_536;

/**
 * Packs readings; moves the cursor on.
 * @throws Error when a value is not on the whole-number grid: that is a driver's bug.
 */
export function encodeReadings(readings: readonly Reading[], cursor: TraceCursor): Uint8Array {
  const columns: (number | null)[][] = [[], [], [], [], []];
  for (const reading of readings) {
    columns[0]?.push(whole(reading.timeUs, 'timeUs'));
    columns[1]?.push(reading.pressurePa === null ? null : whole(reading.pressurePa, 'pressurePa'));
    columns[2]?.push(reading.oppositePa === null ? null : whole(reading.oppositePa, 'oppositePa'));
    columns[3]?.push(reading.oilK === null ? null : milliKelvin(reading.oilK));
    columns[4]?.push(whole(reading.flags, 'flags'));
  }
  const body = new ByteWriter();
  const modes = cursor.columns.map((state, index) => encodeColumn(columns[index] ?? [], state, body));
  const modeBits = modes.reduce((bits, mode, index) => bits | (mode << (3 * index)), 0);
  const out = new ByteWriter();
  out.varint(readings.length);
  out.byte(modeBits & 255);
  out.byte(modeBits >> 8);
  out.bytes(body.done());
  return out.done();
}

/**
 * The readings of a chunk, in order; moves the cursor on.
 * @throws DwellmarkError (`altered`) when the bytes are no chunk.
 */
export function decodeReadings(payload: Uint8Array, cursor: TraceCursor): ReadingColumns {
  const bytes = new ByteReader(payload);
  const count = bytes.varint();
  if (count > mostReadingsInChunk) throw damaged(`claims ${count} readings`);
  const modeBits = bytes.byte() | (bytes.byte() << 8);
  const [time, pressure, opposite, oil, flags] = cursor.columns.map((state, index) =>
    decodeColumn(bytes, (modeBits >> (3 * index)) & 7, count, state),
  );
  if (!bytes.finished || !time || !pressure || !opposite || !oil || !flags)
    throw damaged('is longer than its readings');
  return new ReadingColumns(time, pressure, opposite, oil, flags);
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
