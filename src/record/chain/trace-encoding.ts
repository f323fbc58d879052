import { ReadingColumns } from '../../gauge/index.js';
import { ByteReader, ByteWriter, damaged } from './bytes.js';
import { type ColumnState, decodeColumn, decodeWhole, encodeColumn, freshColumn } from './column-encoding.js';
import { type Link, type LinkKind, linkKinds } from './hashed-bytes.js';
import { decodeTimes, encodeTimes, onBeat } from './time-column.js';

/**
 * Encodings of readings. Number 1 (link kind 1): the count, two bytes with how each column is written, then the columns
 * time, pressure, opposite pressure, oil temperature, flags. Microseconds, pascals, millikelvin, bits: whole numbers
 * all, so that a reading comes back as it went in, bit for bit. Number 2 (link kind 6), which is written now, has in
 * the highest bit of the two bytes whether the times are {@link onBeat}.
 *
 * A column goes on where the chunk before it ended, so a chunk of ten readings pays nothing for its first values;
 * for that the chunks of a test are read in order, with one cursor.
 */
export interface TraceCursor {
  readonly columns: readonly [ColumnState, ColumnState, ColumnState, ColumnState, ColumnState];
}

/**
 * A cursor at the start of a test.
 * @param reused the columns of a chunk are good only until the next is decoded: for going through very many
 */
export const traceStart = (reused = false): TraceCursor => ({
  columns: [
    freshColumn(true, reused),
    freshColumn(false, reused),
    freshColumn(false, reused),
    freshColumn(false, reused),
    freshColumn(false, reused),
  ],
});

/** Kind of the links that {@link encodeReadings} makes payloads for. */
export const readingsKind: LinkKind = linkKinds.beatReadings;

/** The link holds readings, in whichever encoding. */
export const holdsReadings = (kind: LinkKind): boolean =>
  kind === linkKinds.beatReadings || kind === linkKinds.readings;

const chunkOnBeat = 0x8000;

/** More readings than any chunk holds: a count above it is damage. */
export const mostReadingsInChunk = 65_536;

const out = new ByteWriter();

/** Packs readings; moves the cursor on. */
export function encodeReadings(readings: ReadingColumns, cursor: TraceCursor): Uint8Array {
  const { timeUs, pressurePa, oppositePa, oilMilliK, flags } = readings;
  const [time, pressure, opposite, oil, marks] = cursor.columns;
  out.varint(readings.length);
  const modesAt = out.length;
  out.byte(0);
  out.byte(0);
  const timeMode = encodeTimes(timeUs, time, out);
  const modeBits =
    (timeMode & ~onBeat) |
    (encodeColumn(pressurePa, pressure, out) << 3) |
    (encodeColumn(oppositePa, opposite, out) << 6) |
    (encodeColumn(oilMilliK, oil, out) << 9) |
    (encodeColumn(flags, marks, out) << 12) |
    (timeMode & onBeat ? chunkOnBeat : 0);
  out.put(modesAt, modeBits & 255);
  out.put(modesAt + 1, modeBits >> 8);
  return out.done();
}

/**
 * The readings of a link that {@link holdsReadings}, in order, to be read only; moves the cursor on.
 * @throws DwellmarkError (`altered`) when the bytes are no chunk.
 */
export function decodeReadings({ kind, payload }: Pick<Link, 'kind' | 'payload'>, cursor: TraceCursor): ReadingColumns {
  const bytes = new ByteReader(payload);
  const count = bytes.varint();
  if (count > mostReadingsInChunk) throw damaged(`claims ${count} readings`);
  const modeBits = bytes.byte() | (bytes.byte() << 8);
  const [time, pressure, opposite, oil, marks] = cursor.columns;
  const beat = kind === linkKinds.beatReadings && modeBits & chunkOnBeat ? onBeat : 0;
  const timeUs = decodeTimes(bytes, (modeBits & 7) | beat, count, time);
  const pressurePa = decodeColumn(bytes, (modeBits >> 3) & 7, count, pressure);
  const oppositePa = decodeColumn(bytes, (modeBits >> 6) & 7, count, opposite);
  const oilMilliK = decodeColumn(bytes, (modeBits >> 9) & 7, count, oil);
  const flags = decodeWhole(bytes, (modeBits >> 12) & 7, count, marks);
  if (!bytes.finished) throw damaged('is longer than its readings');
  return new ReadingColumns(timeUs, pressurePa, oppositePa, oilMilliK, flags);
}
