import type { HoldInput } from '../../holdtest/index.js';
import { sha256Hex } from '../../record/index.js';
import { noisePrint } from './gauge-habits.js';

/** A row of steps that is unlikely to come twice, and where it begins. */
export interface Shingle {
  readonly hash: number;
  readonly at: number;
}

/** Steps in a row that are looked at together. */
export const shingleSteps = 24;
/** Of these so many must not be zero: a resting gauge repeats itself honestly. */
const leastMoves = 14;
/** One in so many is kept, chosen by its own hash, so that the same rows are kept in every trace. */
const keptOf = 8;

/**
 * Rows of 24 successive steps, as hashes: a stretch that was copied has the same steps wherever it was put, shifted up
 * or down or not. Two honest traces with a restless last digit share none: about two bits a step.
 */
export function shingles(pressuresPa: readonly number[]): Shingle[] {
  const found: Shingle[] = [];
  const steps = pressuresPa.slice(1).map((value, index) => value - (pressuresPa[index] as number));
  const power = powerOf(shingleSteps);
  let hash = 0;
  let moves = 0;
  for (let index = 0; index < steps.length; index += 1) {
    const step = steps[index] as number;
    hash = (Math.imul(hash, base) + mixed(step)) | 0;
    if (step !== 0) moves += 1;
    const gone = steps[index - shingleSteps];
    if (gone !== undefined) {
      hash = (hash - Math.imul(power, mixed(gone))) | 0;
      if (gone !== 0) moves -= 1;
    }
    if (index < shingleSteps - 1 || moves < leastMoves) continue;
    const spread = mixed(hash) >>> 0;
    if (spread % keptOf === 0) found.push({ hash: spread, at: index - shingleSteps + 1 });
  }
  return found;
}

const base = 0x01000193;

function powerOf(count: number): number {
  let power = 1;
  for (let index = 0; index < count; index += 1) power = Math.imul(power, base);
  return power;
}

/** Spreads the bits of a whole number (the finaliser of MurmurHash3, public domain). */
function mixed(value: number): number {
  let hash = value | 0;
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return hash ^ (hash >>> 16);
}

/** What is kept of a trace to compare it with thousands of others: a few kilobytes. */
export interface TraceSketch {
  readonly readings: number;
  /** SHA-256 of the row of pressures. */
  readonly pressures: string;
  readonly shingles: readonly Shingle[];
  /** 256 bits of its noise, counted from its first reading and from its last; null for too short or silent a trace. */
  readonly print: { readonly fromStart: Uint32Array; readonly fromEnd: Uint32Array } | null;
  /** Mean size of the second difference, Pa: how restless the gauge was. */
  readonly restlessnessPa: number;
  /** Smallest step between two readings, Pa: a step of the last digit. */
  readonly digitPa: number;
  /** Longest row of the same value under pressure, and where it starts. */
  readonly longestRun: { readonly readings: number; readonly fromUs: number; readonly pressurePa: number };
  /** Widest step between two readings with no fault put down in it. */
  readonly widestGap: { readonly seconds: number; readonly fromUs: number; readonly usualS: number };
}

/** The pressures of a trace with their times; readings without a pressure are passed over. */
export interface Pressures {
  readonly timesUs: readonly number[];
  readonly pressuresPa: readonly number[];
  readonly faultsUs: readonly number[];
}

export function pressuresOf(inputs: Iterable<HoldInput>): Pressures {
  const timesUs: number[] = [];
  const pressuresPa: number[] = [];
  const faultsUs: number[] = [];
  for (const input of inputs) {
    if (input.kind === 'fault') faultsUs.push(input.fault.timeUs);
    if (input.kind !== 'reading' || input.reading.pressurePa === null) continue;
    timesUs.push(input.reading.timeUs);
    pressuresPa.push(input.reading.pressurePa);
  }
  return { timesUs, pressuresPa, faultsUs };
}

export function sketch(pressures: Pressures): TraceSketch {
  const { pressuresPa } = pressures;
  const bends = secondDifferences(pressuresPa);
  const print = noisePrint(bends);
  return {
    readings: pressuresPa.length,
    pressures: sha256Hex(new Uint8Array(Float64Array.from(pressuresPa).buffer)),
    shingles: shingles(pressuresPa),
    print: print ? { fromStart: print, fromEnd: noisePrint([...bends].reverse()) ?? print } : null,
    restlessnessPa: middle(bends.map(Math.abs)),
    digitPa: smallestStep(pressuresPa),
    longestRun: longestRun(pressures),
    widestGap: widestGap(pressures),
  };
}

export const secondDifferences = (values: readonly number[]): number[] =>
  values.slice(2).map((value, index) => value - 2 * (values[index + 1] as number) + (values[index] as number));

/** Mean of the lower nine tenths: jumps of a ramp don't count. */
function middle(values: readonly number[]): number {
  if (values.length === 0) return 0;
  const kept = Float64Array.from(values)
    .sort()
    .subarray(0, Math.ceil(values.length * 0.9));
  return kept.reduce((sum, value) => sum + value, 0) / kept.length;
}

function smallestStep(values: readonly number[]): number {
  let least = Number.POSITIVE_INFINITY;
  for (let index = 1; index < values.length; index += 1) {
    const step = Math.abs((values[index] as number) - (values[index - 1] as number));
    if (step > 0 && step < least) least = step;
  }
  return Number.isFinite(least) ? least : 0;
}

function longestRun({ timesUs, pressuresPa }: Pressures): TraceSketch['longestRun'] {
  const peak = pressuresPa.reduce((most, value) => Math.max(most, value), 0);
  let best = { readings: 0, fromUs: 0, pressurePa: 0 };
  let start = 0;
  for (let index = 1; index <= pressuresPa.length; index += 1) {
    if (index < pressuresPa.length && pressuresPa[index] === pressuresPa[start]) continue;
    const pressurePa = pressuresPa[start] ?? 0;
    if (pressurePa > peak / 10 && index - start > best.readings)
      best = { readings: index - start, fromUs: timesUs[start] ?? 0, pressurePa };
    start = index;
  }
  return best;
}

function widestGap({ timesUs, faultsUs }: Pressures): TraceSketch['widestGap'] {
  const steps = Float64Array.from(timesUs.slice(1), (time, index) => time - (timesUs[index] ?? 0));
  const usual = steps.length === 0 ? 0 : (Float64Array.from(steps).sort()[steps.length >> 1] ?? 0);
  let best = { seconds: 0, fromUs: 0, usualS: usual / 1e6 };
  steps.forEach((step, index) => {
    const fromUs = timesUs[index] ?? 0;
    const told = faultsUs.some((fault) => fault >= fromUs - usual && fault <= fromUs + step + usual);
    if (!told && step / 1e6 > best.seconds) best = { ...best, seconds: step / 1e6, fromUs };
  });
  return best;
}
