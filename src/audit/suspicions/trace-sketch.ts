import type { HoldInput } from '../../holdtest/index.js';
import { sha256Hex } from '../../record/index.js';
import { noisePrint } from './noise-print.js';
import { type Shingle, shingles } from './shingles.js';

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
