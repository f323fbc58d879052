import { type ByteReader, type ByteWriter, damaged, zigzagSize } from './varint.js';

/** Where a column stands between two chunks. */
export interface ColumnState {
  /** Time goes on by its last step; every other value is expected to stay. */
  readonly steady: boolean;
  last: number;
  step: number;
  started: boolean;
  scale: number;
}

export const freshColumn = (steady: boolean): ColumnState => ({ steady, last: 0, step: 0, started: false, scale: 1 });

/**
 * How a column is written, three bits: nothing there, everything as expected, the differences from what was expected,
 * or those differences divided by a common step (the gauge's resolution). Bit 4: a bitmap of missing values precedes.
 */
const modes = { absent: 0, expected: 1, differences: 2, scaled: 3, withGaps: 4 } as const;

/** Writes a column and returns its mode; moves the state on. A null is a missing value. */
export function encodeColumn(values: readonly (number | null)[], state: ColumnState, out: ByteWriter): number {
  const gaps = values.some((value) => value === null);
  if (gaps && values.every((value) => value === null)) return modes.absent;
  const differences: number[] = [];
  for (const value of values) if (value !== null) differences.push(advance(state, value));
  const gapBit = gaps ? modes.withGaps : 0;
  if (gaps) writeBitmap(values, out);
  if (differences.every((difference) => difference === 0)) return modes.expected | gapBit;
  const scale = differences.reduce(commonStep, 0);
  const reuses = scale % state.scale === 0 && state.scale > 1;
  const chosen = reuses ? state.scale : scale;
  const scaledSize = (reuses ? 1 : zigzagSize(chosen)) + sizeOf(differences, chosen);
  if (chosen > 1 && scaledSize < sizeOf(differences, 1)) {
    out.varint(reuses ? 0 : chosen);
    state.scale = chosen;
    for (const difference of differences) out.zigzag(difference / chosen);
    return modes.scaled | gapBit;
  }
  for (const difference of differences) out.zigzag(difference);
  return modes.differences | gapBit;
}

/** Reads a column; a missing value is NaN. Moves the state on as the writer did. */
export function decodeColumn(bytes: ByteReader, mode: number, count: number, state: ColumnState): Float64Array {
  const values = new Float64Array(count);
  const way = mode & 3;
  if (way === modes.absent) {
    if (mode !== modes.absent) throw damaged('has a column of an unknown kind');
    return values.fill(Number.NaN);
  }
  const bitmap = mode & modes.withGaps ? bytes.bytes(Math.ceil(count / 8)) : undefined;
  let scale = 1;
  if (way === modes.scaled) {
    const given = bytes.varint();
    if (given !== 0) state.scale = given;
    scale = state.scale;
  }
  for (let index = 0; index < count; index += 1) {
    if (bitmap && ((bitmap[index >> 3] ?? 0) >> (index & 7)) & 1) values[index] = Number.NaN;
    else values[index] = restore(state, way === modes.expected ? 0 : bytes.zigzag() * scale);
  }
  return values;
}

function advance(state: ColumnState, value: number): number {
  const difference = value - (state.last + state.step);
  settle(state, value);
  return difference;
}

function restore(state: ColumnState, difference: number): number {
  const value = state.last + state.step + difference;
  settle(state, value);
  return value;
}

function settle(state: ColumnState, value: number): void {
  if (state.steady && state.started) state.step = value - state.last;
  state.last = value;
  state.started = true;
}

function writeBitmap(values: readonly (number | null)[], out: ByteWriter): void {
  const bitmap = new Uint8Array(Math.ceil(values.length / 8));
  values.forEach((value, index) => {
    if (value === null) bitmap[index >> 3] = (bitmap[index >> 3] ?? 0) | (1 << (index & 7));
  });
  out.bytes(bitmap);
}

/** Euclid's greatest common divisor of two differences. */
function commonStep(a: number, b: number): number {
  let [big, small] = [Math.abs(a), Math.abs(b)];
  while (small !== 0) [big, small] = [small, big % small];
  return big;
}

const sizeOf = (differences: readonly number[], scale: number): number =>
  differences.reduce((size, difference) => size + zigzagSize(difference / scale), 0);
