import { median } from '../statistics/theil-sen.js';
import type { Blocks } from '../trace/block-means.js';

/** Steps of the pressure that are clear of the noise, seen by windows of one length. */
export interface Steps {
  readonly ups: readonly Peak[];
  readonly downs: readonly Peak[];
}

/** A step where it is greatest. */
export interface Peak extends Step {
  /** The greater step of those two windows before and after it, the same way, Pa: what a steep course makes by itself. */
  readonly besidePa: number;
}

/** What a step is held against. */
export interface StepSetting {
  /** Noise of a reading, standard deviation, Pa. */
  readonly noisePa: number;
  /** A step of the display, as far as noise does not smooth it, Pa. */
  readonly stepPa: number;
}

/** Windows on either side of a step, s. */
const spansS = [1.5, 2.5, 4, 6];
/** A step counts from so many standard deviations of the difference of two windows. */
const stepSure = 3;

/**
 * The steps between two windows on either side of every moment, less the usual one of their half minute, where they
 * peak; noise of any colour steps up as often as down.
 */
export function stepsBySpan(blocks: Blocks, untilS: number, { noisePa, stepPa }: StepSetting): Steps[] {
  const sums = prefixSums(blocks, untilS);
  return spansS.flatMap((spanS): Steps[] => {
    const steps = stepsOf(sums, spanS);
    if (steps.length < 12) return [];
    const local = lessNeighbours(steps);
    const of = (sign: number): Peak[] =>
      peaks(local, sign, spanS, noisePa, stepPa).map((step) => ({
        ...step,
        besidePa: besides(local, step, sign, spanS),
      }));
    return [{ ups: of(1), downs: of(-1) }];
  });
}

interface Sums {
  readonly t: Float64Array;
  readonly n: Float64Array;
  readonly y: Float64Array;
}

/** Times of the blocks, and sums of readings and pressures before each. */
function prefixSums({ length, timeS, count, pressure }: Blocks, untilS: number): Sums {
  let many = length;
  while (many > 0 && (timeS[many - 1] ?? 0) > untilS) many--;
  const n = new Float64Array(many + 1);
  const y = new Float64Array(many + 1);
  for (let i = 0; i < many; i++) {
    n[i + 1] = (n[i] ?? 0) + (count[i] ?? 0);
    y[i + 1] = (y[i] ?? 0) + (count[i] ?? 0) * (pressure[i] ?? 0);
  }
  return { t: timeS.subarray(0, many), n, y };
}

interface Step {
  readonly atS: number;
  readonly byPa: number;
  /** Variance for noise of 1 a reading. */
  readonly unitVariance: number;
}

/** The step at every block: mean of the window after it less that of the window before. */
function stepsOf({ t, n, y }: Sums, spanS: number): Step[] {
  const steps: Step[] = [];
  let [from, to] = [0, 0];
  for (let at = 1; at < t.length; at++) {
    const now = t[at] ?? 0;
    while ((t[from] ?? 0) < now - spanS) from++;
    while (to < t.length && (t[to] ?? 0) < now + spanS) to++;
    const before = (n[at] ?? 0) - (n[from] ?? 0);
    const after = (n[to] ?? 0) - (n[at] ?? 0);
    if (!(before > 0 && after > 0) || now - spanS < (t[0] ?? 0) - 1e-9 || to === t.length) continue;
    const byPa = ((y[to] ?? 0) - (y[at] ?? 0)) / after - ((y[at] ?? 0) - (y[from] ?? 0)) / before;
    steps.push({ atS: now, byPa, unitVariance: 1 / before + 1 / after });
  }
  return steps;
}

/** Stretch whose usual step is the slow course of the pressure, s. */
const stretchS = 30;

/** Each step less the median of those in its half minute, drawn straight from the middle of one to that of the next. */
function lessNeighbours(steps: readonly Step[]): Step[] {
  const first = steps[0]?.atS ?? 0;
  const groups: number[][] = [];
  for (const { atS, byPa } of steps) {
    const group = Math.floor((atS - first) / stretchS);
    const members = groups[group] ?? [];
    members.push(byPa);
    groups[group] = members;
  }
  const usual = groups.map((group) => median(Float64Array.from(group ?? [0])));
  return steps.map((step) => {
    const place = Math.min(usual.length - 1, Math.max(0, (step.atS - first) / stretchS - 0.5));
    const at = Math.floor(place);
    const low = usual[at] ?? 0;
    const high = usual[at + 1] ?? low;
    return { ...step, byPa: step.byPa - low - (high - low) * (place - at) };
  });
}

/** Steps one way that are clear of the noise, the greatest within two windows of each. */
function peaks(steps: readonly Step[], sign: number, spanS: number, noisePa: number, stepPa: number): Step[] {
  const found: Step[] = [];
  let greatest: Step | null = null;
  const size = (step: Step): number => sign * step.byPa;
  for (const step of steps) {
    if (size(step) < Math.max(stepSure * noisePa * Math.sqrt(step.unitVariance), stepPa)) continue;
    if (greatest && step.atS - greatest.atS < spanS) {
      if (size(step) > size(greatest)) greatest = step;
      continue;
    }
    if (greatest) found.push(greatest);
    greatest = step;
  }
  if (greatest) found.push(greatest);
  return found;
}

/** The greater of the steps two windows before and after one, the way of its sign. */
function besides(steps: readonly Step[], { atS }: Step, sign: number, spanS: number): number {
  const near = (timeS: number): number => {
    let [low, high] = [0, steps.length - 1];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((steps[middle]?.atS ?? 0) < timeS) low = middle + 1;
      else high = middle;
    }
    return sign * (steps[low]?.byPa ?? 0);
  };
  return Math.max(near(atS - 2 * spanS), near(atS + 2 * spanS));
}
