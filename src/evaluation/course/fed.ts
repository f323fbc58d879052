import { median } from '../statistics/theil-sen.js';
import type { Blocks } from '../trace/block-means.js';
import { cellsOf } from './cells.js';

/** A rise that a shut-in volume can't make by itself. */
export interface Fed {
  /** How far the pressure rose, Pa; for strokes their mean height. */
  readonly byPa: number;
  /** When, s from the start of the trace. */
  readonly atS: number;
  /** Small strokes again and again, rather than one rise. */
  readonly strokes: boolean;
}

/** What a rise is held against. */
export interface FedSetting {
  /** What was fed in must have raised the pressure by this much in all, Pa. */
  readonly leastPa: number;
  /** Rate at which unmeasured warming may raise the pressure, Pa/s. */
  readonly warmingPaPerS: number;
  /** Wander of the gauge, standard deviation, Pa. */
  readonly wanderPa: number;
  /** Noise of a reading, standard deviation, Pa. */
  readonly noisePa: number;
  /** A step of the display, as far as noise does not smooth it, Pa. */
  readonly stepPa: number;
}

/** Means over so many seconds are compared. */
const spansS = [4, 12, 30];
/** A rise must exceed so many standard deviations of the difference of two means. */
const sure = 5.5;
/** Windows on either side of a stroke, s. */
const strokeSpansS = [1.5, 2.5, 4, 6];
/** A step counts from so many standard deviations of the difference of two windows. */
const stepSure = 3;
/** So many more steps up than down, in standard deviations of their difference, are strokes. */
const strokesSure = 3.2;

/**
 * The greatest rise above the lowest point before it, once measured temperature has been taken out: a shut-in volume
 * only loses. Means over a few seconds are compared; their scatter comes from the median second
 * difference, so that a feed of a minute does not pass for noise.
 * @param course fall by measured temperature at a time, Pa, added back before the comparison
 */
export function fedBy(
  blocks: Blocks,
  untilS: number,
  course: (timeS: number) => number,
  setting: FedSetting,
): Fed | null {
  let found: Fed | null = null;
  for (const spanS of spansS) {
    const many = Math.floor(untilS / spanS);
    if (many < 6) continue;
    const { t, y } = cellsOf(blocks, 0, untilS, many);
    const left = y.map((value, i) => value + course(t[i] ?? 0));
    const scatterPa = scatterOf(left);
    let lowest = Number.POSITIVE_INFINITY;
    let lowestS = 0;
    for (let i = 0; i < left.length; i++) {
      const value = left[i] ?? 0;
      const byPa = value - lowest;
      const may =
        sure * Math.SQRT2 * scatterPa +
        4 * setting.wanderPa +
        setting.stepPa +
        setting.warmingPaPerS * ((t[i] ?? 0) - lowestS);
      if (byPa > Math.max(may, setting.leastPa) && byPa > (found?.byPa ?? 0))
        found = { byPa, atS: t[i] ?? 0, strokes: false };
      if (value < lowest) [lowest, lowestS] = [value, t[i] ?? 0];
    }
  }
  return found ?? strokesIn(blocks, untilS, setting);
}

/** Standard deviation of one mean, from second differences, robustly. */
function scatterOf(values: Float64Array): number {
  const seconds: number[] = [];
  for (let i = 2; i < values.length; i++)
    seconds.push(Math.abs((values[i] ?? 0) - 2 * (values[i - 1] ?? 0) + (values[i - 2] ?? 0)));
  return median(Float64Array.from(seconds)) / 0.6745 / Math.sqrt(6);
}

/**
 * Strokes of a pump that keep a leaking volume up: a saw-tooth of quick rises and slow falls. The steps between two
 * windows on either side of every moment, less the usual one of their half minute, are counted where they peak; noise of any colour steps up as
 * often as down, a pump only up.
 */
function strokesIn(blocks: Blocks, untilS: number, { noisePa, stepPa, leastPa }: FedSetting): Fed | null {
  let surest: Fed | null = null;
  let most = strokesSure;
  const sums = prefixSums(blocks, untilS);
  for (const spanS of strokeSpansS) {
    const steps = stepsOf(sums, spanS);
    if (steps.length < 12) continue;
    const local = lessNeighbours(steps);
    const [ups, downs] = [1, -1].map((sign) => peaks(local, sign, spanS, noisePa, stepPa));
    if (!ups || !downs) continue;
    const sureness = (ups.length - downs.length) / Math.sqrt(Math.max(1, ups.length + downs.length));
    const fedPa = ups.reduce((sum, { byPa }) => sum + byPa, 0);
    if (sureness <= most || fedPa < leastPa) continue;
    most = sureness;
    surest = { byPa: fedPa / ups.length, atS: ups[0]?.atS ?? 0, strokes: true };
  }
  return surest;
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
