import type { ByteReader, ByteWriter } from './bytes.js';
import { type ColumnState, decodeWhole, encodeColumn } from './column-encoding.js';

const beatUs = 100;
/** Of a column of times, beside how it is written: all steps are whole multiples of a beat, and so is what is expected. */
export const onBeat = 8;

/**
 * Writes a column of times, microseconds. Those of a serial line come in steps of {@link beatUs}; what is expected of
 * them is then rounded to that, and a time costs one byte where it cost two. The mode may have {@link onBeat}.
 */
export function encodeTimes(timeUs: Float64Array, state: ColumnState, out: ByteWriter): number {
  const beat = beats(timeUs, state);
  state.unit = beat ? beatUs : 1;
  return encodeColumn(timeUs, state, out) | (beat ? onBeat : 0);
}

/** Reads a column of times; as {@link decodeWhole} for any other. */
export function decodeTimes(bytes: ByteReader, mode: number, count: number, state: ColumnState): Float64Array {
  state.unit = mode & onBeat ? beatUs : 1;
  return decodeWhole(bytes, mode & ~onBeat, count, state);
}

/** Every step is a multiple of a beat, the one from the chunk before too. */
function beats(timeUs: Float64Array, { started, last }: ColumnState): boolean {
  let before = started ? last : (timeUs[0] ?? 0);
  for (let index = 0; index < timeUs.length; index += 1) {
    const now = timeUs[index] as number;
    if ((now - before) % beatUs !== 0) return false;
    before = now;
  }
  return true;
}
