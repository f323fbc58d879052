import { type ByteReader, type ByteWriter, bitsOf, damaged, unzigzag, varintSize, zigzag } from './bytes.js';
import { markGaps, writeBitmap } from './gap-bitmap.js';

/** Where a column stands between two chunks. */
export interface ColumnState {
  /** Time goes on by its usual step; every other value is expected to stay. */
  readonly steady: boolean;
  last: number;
  step: number;
  started: boolean;
  scale: number;
  /** Of a steady column: its steps are whole multiples of this, in the chunk under way. */
  unit: number;
  /** Where values are decoded into, chunk after chunk; null for new room each time. */
  room: Float64Array | null;
}

export const freshColumn = (steady: boolean, reused = false): ColumnState => ({
  steady,
  last: 0,
  step: 0,
  started: false,
  scale: 1,
  unit: 1,
  room: reused ? new Float64Array(64) : null,
});

/**
 * How a column is written, three bits: nothing there, everything as expected, or the differences from what was
 * expected, each in as many bytes as it needs or all in as many bits as the largest needs. Differences are first divided
 * by a common step (the gauge's resolution). Bit 4: a bitmap of missing values precedes.
 */
const modes = { absent: 0, expected: 1, bytes: 2, bits: 3, withGaps: 4 } as const;

/** Differences that share one width when they are written as bits. */
const frame = 64;
/** Wider differences are written in bytes. */
const widestBits = 24;

/** Where differences lie while a column is written; it grows with the longest chunk. */
let room = new Float64Array(256);

/** Writes a column and returns its mode; moves the state on. NaN is a missing value. */
export function encodeColumn(values: Float64Array, state: ColumnState, out: ByteWriter): number {
  if (!state.steady && allAre(values, state.last)) return modes.expected;
  const given = present(values);
  if (given.length === 0 && values.length > 0) return modes.absent;
  const gapBit = given.length < values.length ? modes.withGaps : 0;
  if (gapBit) writeBitmap(values, out);
  if (state.steady && !state.started && given.length > 0) writeStart(given, state, out);
  if (room.length < given.length) room = new Float64Array(2 * given.length);
  const common = takeDifferences(given, state, room);
  if (common === 0) return modes.expected | gapBit;
  const scale = state.scale > 1 && common % state.scale === 0 ? state.scale : common;
  out.varint(scale === state.scale ? 0 : scale);
  state.scale = scale;
  const count = given.length;
  if (toUnsigned(room, count, scale)) {
    for (let at = 0; at < count; at += frame) out.bits(room.subarray(at, Math.min(at + frame, count)));
    return modes.bits | gapBit;
  }
  for (let index = 0; index < count; index += 1) out.varint(room[index] as number);
  return modes.bytes | gapBit;
}

function allAre(values: Float64Array, expected: number): boolean {
  for (let index = 0; index < values.length; index += 1) if (values[index] !== expected) return false;
  return true;
}

/** Divides by the scale and takes the sign away, where they lie; whether they then cost less as bits than as bytes. */
function toUnsigned(differences: Float64Array, count: number, scale: number): boolean {
  let [inBytes, inBits, most, framed] = [0, 0, 0, 0];
  for (let index = 0; index < count; index += 1) {
    const difference = differences[index] as number;
    const value = zigzag(scale === 1 ? difference : difference / scale);
    differences[index] = value;
    inBytes += value < 128 ? 1 : varintSize(value);
    if (value > most) most = value;
    framed += 1;
    if (framed < frame && index < count - 1) continue;
    const width = bitsOf(most);
    inBits += width > widestBits ? Number.POSITIVE_INFINITY : 1 + Math.ceil((framed * width) / 8);
    most = framed = 0;
  }
  return inBits < inBytes;
}

/** The values that are there. */
function present(values: Float64Array): Float64Array {
  let count = 0;
  for (let index = 0; index < values.length; index += 1) if (!Number.isNaN(values[index])) count += 1;
  if (count === values.length) return values;
  return count === 0 ? noValues : values.filter((value) => !Number.isNaN(value));
}

const noValues = new Float64Array(0);

/**
 * How far each value lies from what was expected; returns the greatest step that they have in common, 0 for no
 * difference at all.
 */
function takeDifferences(values: Float64Array, state: ColumnState, into: Float64Array): number {
  let { last, step } = state;
  let onGrid = gridStep(step, state);
  let common = 0;
  for (let index = 0; index < values.length; index += 1) {
    const value = values[index] as number;
    const difference = value - (last + onGrid);
    into[index] = difference;
    last = value;
    if (difference === 0) continue;
    if (common !== 1) common = commonStep(common, difference);
    if (!state.steady) continue;
    step += Math.round(difference / 8);
    onGrid = gridStep(step, state);
  }
  if (values.length > 0) state.started = true;
  state.last = last;
  state.step = step;
  return common;
}

/** The step that is expected, on the grid of the column's values. */
const gridStep = (step: number, { unit }: ColumnState): number => (unit === 1 ? step : Math.round(step / unit) * unit);

/** Reads a column in which no value may be missing. */
export function decodeWhole(bytes: ByteReader, mode: number, count: number, state: ColumnState): Float64Array {
  if (mode === modes.absent || mode & modes.withGaps) throw damaged('lacks a value that is always there');
  return decodeColumn(bytes, mode, count, state);
}

/**
 * Reads a column; a missing value is NaN. Moves the state on as the writer did. What comes back is to be read only: a
 * column of nothing may be the same for many chunks.
 */
export function decodeColumn(bytes: ByteReader, mode: number, count: number, state: ColumnState): Float64Array {
  const way = mode & 3;
  if (way === modes.absent) {
    if (mode !== modes.absent) throw damaged('has a column of an unknown kind');
    return nothing(count);
  }
  if (mode & modes.withGaps) return decodeWithGaps(bytes, way, count, state);
  if (state.steady && !state.started && count > 0) readStart(bytes, state);
  return readValues(bytes, way, roomFor(count, state), state);
}

function roomFor(count: number, state: ColumnState): Float64Array {
  if (state.room === null) return new Float64Array(count);
  if (state.room.length < count) state.room = new Float64Array(2 * count);
  return state.room.subarray(0, count);
}

function decodeWithGaps(bytes: ByteReader, way: number, count: number, state: ColumnState): Float64Array {
  const values = new Float64Array(count);
  const given = markGaps(values, bytes.bytes(Math.ceil(count / 8)));
  if (state.steady && !state.started && given > 0) readStart(bytes, state);
  const there = readValues(bytes, way, new Float64Array(given), state);
  let next = 0;
  for (let index = 0; index < count; index += 1)
    if (!Number.isNaN(values[index])) {
      values[index] = there[next] as number;
      next += 1;
    }
  return values;
}

let missing = new Float64Array(0);

/** A column without a value. */
function nothing(count: number): Float64Array {
  if (missing.length < count) missing = new Float64Array(2 * count).fill(Number.NaN);
  return missing.subarray(0, count);
}

/** Fills a row with values, none missing: undoes {@link takeDifferences}. */
function readValues(bytes: ByteReader, way: number, into: Float64Array, state: ColumnState): Float64Array {
  if (way === modes.expected) into.fill(state.steady ? 0 : state.last);
  else readDifferences(bytes, way, into, state);
  if (into.length === 0) return into;
  if (state.steady) followSteps(into, state);
  else state.last = into[into.length - 1] as number;
  state.started = true;
  return into;
}

/**
 * Reads differences. Those of a column that is expected to stay are added up as they come; those of a steady one are
 * not: their sum may be far larger than any time is.
 */
function readDifferences(bytes: ByteReader, way: number, into: Float64Array, state: ColumnState): void {
  const given = bytes.varint();
  if (given !== 0) state.scale = given;
  const { scale, steady } = state;
  let sum = steady ? null : state.last;
  if (way === modes.bits)
    for (let at = 0; at < into.length; at += frame)
      sum = bytes.signedBits(into, at, Math.min(frame, into.length - at), scale, sum);
  else
    for (let index = 0; index < into.length; index += 1) {
      const difference = unzigzag(bytes.varint()) * scale;
      if (sum !== null) sum += difference;
      into[index] = sum ?? difference;
    }
}

/** Turns differences into values of a steady column, where they lie. */
function followSteps(differences: Float64Array, state: ColumnState): void {
  let { last, step } = state;
  let onGrid = gridStep(step, state);
  for (let index = 0; index < differences.length; index += 1) {
    const difference = differences[index] as number;
    last += onGrid + difference;
    differences[index] = last;
    if (difference === 0) continue;
    step += Math.round(difference / 8);
    onGrid = gridStep(step, state);
  }
  state.last = last;
  state.step = step;
}

/** The first value and the first step, so that an even row of times costs nothing from its beginning. */
function writeStart(given: Float64Array, state: ColumnState, out: ByteWriter): void {
  const first = given[0] ?? 0;
  const second = given[1] ?? first;
  out.varint(zigzag(first));
  out.varint(zigzag(second - first));
  begin(state, first, second - first);
}

const readStart = (bytes: ByteReader, state: ColumnState): void =>
  begin(state, unzigzag(bytes.varint()), unzigzag(bytes.varint()));

function begin(state: ColumnState, first: number, step: number): void {
  state.last = first - step;
  state.step = step;
  state.started = true;
}

/** Euclid's greatest common divisor of two differences. */
function commonStep(a: number, b: number): number {
  let [big, small] = [Math.abs(a), Math.abs(b)];
  while (small !== 0) [big, small] = [small, big % small];
  return big;
}
