import { square } from '../../units/index.js';
import { median } from '../statistics/lines.js';

/** Readings of a rise: seconds on the gauge's clock, pascals above the vented zero. */
export interface RiseReadings {
  readonly s: Float64Array;
  readonly pa: Float64Array;
}

/** Strokes of a booster or a hand pump at one pace, as the trace shows them. */
export interface StrokeChain {
  readonly strokes: number;
  /** Each step with its strokes: two that stand as one step of double height count as two. */
  readonly steps: readonly (Step & { readonly strokes: number })[];
}

/** A rise between two levels. */
export interface Step {
  readonly fromS: number;
  readonly toS: number;
  readonly fromPa: number;
  readonly toPa: number;
}

/** A rise or a halt counts from so many standard deviations of a reading on: fewer where a reading changes by many of them. */
const [clearMost, clearLeast, clearLess] = [3.5, 1.8, 0.6];
/** The pace of the rises round a reading is taken from so many s, and so many readings, to each side. */
const [paceS, paceReadings] = [2, 6];
/** Taken between readings so far apart, s, where the rise between two is less than so many standard deviations. */
const [apartS, coarse] = [0.4, 10];
/** A step is at least so many standard deviations of what the gauge adds. */
const leastSteps = 4;
/** Strokes are within these shares of their neighbours; two at once within the next. */
const [least, most, mostOfTwo] = [0.35, 1.6, 2.6];
/** A low step is a stroke when the next one comes no sooner than this share of the usual time. */
const ownStroke = 0.6;
/** Neighbours to each side. */
const neighbours = 4;
/** The end of a chain: a halt so many times as long as those round it. */
const pause = 4;
/** Booster and hand pump draw new oil in at least this share of the time. */
const leastStanding = 0.15;
/** Fewer strokes show no pace. */
const fewest = 4;

/**
 * Every rise between two levels: where the pressure, less half of the pace of the rises round it, turns by more than
 * the gauge makes it turn.
 */
export function stepsOf({ s, pa }: RiseReadings, noisePa: number): readonly Step[] {
  const legs: { from: number; to: number }[] = [];
  let [now, turn, turnAt, rising] = [0, 0, 0, false];
  for (let i = 0; i + 1 < s.length; i++) {
    const dS = (s[i + 1] ?? 0) - (s[i] ?? 0);
    const halfPa = (paceAt(s, pa, i, noisePa) * dS) / 2;
    now += (pa[i + 1] ?? 0) - (pa[i] ?? 0) - halfPa;
    if (rising ? now >= turn : now <= turn) [turn, turnAt] = [now, i + 1];
    else if (Math.abs(now - turn) >= Math.max(clearLeast * noisePa, clearMost * noisePa - clearLess * halfPa)) {
      if (rising) legs.push({ from: legs.pop()?.from ?? 0, to: turnAt });
      else legs.push({ from: turnAt, to: s.length - 1 });
      [rising, turn, turnAt] = [!rising, now, i + 1];
    }
  }
  const level = (from: number, to: number): number => {
    const between = pa.subarray(from, to + 1);
    return between.reduce((total, one) => total + one, 0) / between.length;
  };
  return legs.map(({ from, to }, k) => ({
    fromS: s[from] ?? 0,
    toS: s[to] ?? 0,
    fromPa: level(legs[k - 1]?.to ?? 0, from),
    toPa: level(to, legs[k + 1]?.from ?? s.length - 1),
  }));
}

/** Pace of the rises round a reading, Pa/s. */
function paceAt(s: Float64Array, pa: Float64Array, at: number, noisePa: number): number {
  const next = paceOver(s, pa, at, 1);
  const dS = ((s[Math.min(s.length - 1, at + 4)] ?? 0) - (s[at] ?? 0)) / Math.max(1, Math.min(4, s.length - 1 - at));
  const apart = Math.max(1, Math.round(apartS / Math.max(dS, 1e-3)));
  return next * dS >= coarse * noisePa || apart === 1 ? next : paceOver(s, pa, at, apart);
}

/** Half of the rise round a reading is faster than this, between readings so many apart, Pa/s. */
function paceOver(s: Float64Array, pa: Float64Array, at: number, apart: number): number {
  const rises: { paPerS: number; pa: number }[] = [];
  let wholePa = 0;
  for (const way of [-1, 1])
    for (let i = way < 0 ? at : at + 1, count = 0; i >= 0 && i + apart < s.length; i += way, count++) {
      if (count >= paceReadings && Math.abs((s[i] ?? 0) - (s[at] ?? 0)) > paceS) break;
      const risenPa = (pa[i + apart] ?? 0) - (pa[i] ?? 0);
      if (risenPa <= 0) continue;
      rises.push({ paPerS: risenPa / Math.max(1e-3, (s[i + apart] ?? 0) - (s[i] ?? 0)), pa: risenPa });
      wholePa += risenPa;
    }
  rises.sort((a, b) => a.paPerS - b.paPerS);
  let belowPa = 0;
  for (const rise of rises) {
    belowPa += rise.pa;
    if (belowPa >= wholePa / 2) return rise.paPerS;
  }
  return 0;
}

/** Steps that are as high as their neighbours, one after the other; the even rise of a pump breaks the chain. */
export function strokeChains(readings: RiseReadings, noisePa: number): readonly StrokeChain[] {
  const steps = stepsOf(readings, noisePa).filter(({ fromPa, toPa }) => toPa - fromPa > leastSteps * noisePa);
  const chains: (Step & { strokes: number })[][] = [[]];
  for (const [k, step] of steps.entries()) {
    const near = steps.slice(Math.max(0, k - neighbours), k + neighbours + 1).filter((one) => one !== step);
    const usual = (of: (one: Step) => number): number => median(Float64Array.from(near, of));
    const height = (step.toPa - step.fromPa) / usual(heightPa);
    const lasts = (step.toS - step.fromS) / usual(lengthS);
    const paused = k > 0 && step.fromS - (steps[k - 1]?.toS ?? 0) > pause * usualGapS(steps, k);
    if (paused) chains.push([]);
    const cutShort = k === steps.length - 1 && height < most;
    if (cutShort) chains.at(-1)?.push({ ...step, strokes: height >= 0.5 ? 1 : 0 });
    else if (height >= least && height <= most) chains.at(-1)?.push({ ...step, strokes: 1 });
    else if (height > most && height <= mostOfTwo) chains.at(-1)?.push({ ...step, strokes: lasts >= most ? 2 : 1 });
    else if (height > most) chains.push([]);
    // Air swallows most of a stroke near zero; a piece of one is followed at once by the rest.
    else chains.at(-1)?.push({ ...step, strokes: spacing(steps, k) >= ownStroke ? 1 : 0 });
  }
  const whole = chains.map((one) => ({ steps: one, strokes: one.reduce((sum, { strokes }) => sum + strokes, 0) }));
  const sure = whole.filter(({ strokes, steps: of }) => strokes >= fewest && standsBetween(of) >= leastStanding);
  const usualPa = median(
    Float64Array.from(
      sure.flatMap(({ steps: of }) => of),
      heightPa,
    ),
  );
  // A few strokes more after a pause are as high as those before it.
  const alike = ({ steps: of, strokes }: StrokeChain): boolean =>
    strokes > 0 && strokes < fewest && of.every((one) => heightPa(one) <= most * usualPa);
  return whole.filter((one) => sure.includes(one) || alike(one));
}

/** Time from a step's beginning to the next one's, over the usual round it. */
function spacing(steps: readonly Step[], at: number): number {
  const between = (k: number): number => (steps[k + 1]?.fromS ?? Number.NaN) - (steps[k]?.fromS ?? Number.NaN);
  const near = Array.from({ length: 2 * neighbours + 1 }, (_, i) => between(at - neighbours + i)).filter(
    (one) => one > 0,
  );
  return between(at) / median(Float64Array.from(near));
}

/** Usual time between one step's end and the next one's beginning round a step, s. */
function usualGapS(steps: readonly Step[], at: number): number {
  const near = steps.slice(Math.max(1, at - neighbours), at + neighbours + 1);
  const gaps = near.map(({ fromS }) => fromS - (steps.findLast((one) => one.fromS < fromS)?.toS ?? fromS));
  return median(Float64Array.from(gaps));
}

/** Share of its time in which a chain stands still between its steps; a pump that falters hardly does. */
function standsBetween(steps: readonly Step[]): number {
  const standingS = steps.slice(1).reduce((sum, { fromS }, i) => sum + fromS - (steps[i]?.toS ?? fromS), 0);
  return standingS / ((steps.at(-1)?.fromS ?? 0) - (steps[0]?.fromS ?? 0));
}

const heightPa = ({ fromPa, toPa }: Step): number => toPa - fromPa;
const lengthS = ({ fromS, toS }: Step): number => toS - fromS;

/** What a gauge adds to a reading, Pa: the scatter of the vented readings, and its digits. */
export const readingNoisePa = (ventedPa: readonly number[], resolutionPa: number): number => {
  const mean = ventedPa.reduce((sum, one) => sum + one, 0) / Math.max(1, ventedPa.length);
  const scatter = ventedPa.reduce((sum, one) => sum + square(one - mean), 0) / Math.max(1, ventedPa.length - 1);
  return Math.max(Math.sqrt(scatter), resolutionPa / Math.sqrt(12));
};
