import { square } from '../../units/index.js';
import { median } from '../statistics/lines.js';
import type { Blocks } from '../trace/block-means.js';
import type { CourseFit, Mixture } from './fit-course.js';

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

/** A fall within seconds: neither heat nor creep can make one, a seal that slips or a spool that moves can. */
export interface SuddenFall {
  /** When, s from the start of the trace. */
  readonly atS: number;
  /** By how much, Pa. */
  readonly byPa: number;
  readonly uPa: number;
}

/** A fall must be greater than the greatest step up by this factor, and than a digit of the display. */
const beyondUps = 1.5;
/** And clear of the noise by so many standard deviations. */
const sure = 6;
/** So soon after the shut-in a valve and a hose come to rest, s. */
const atRestS = 5;
/**
 * Of a seal that slips some falls hide in noise, heat or one another: mean and standard deviation, as a share of those
 * that are found (the program's own, no source).
 */
const missed = 0.12;
const missedU = 0.2;

/**
 * Falls within seconds, by the windows that show most of them. The pressure of a shut-in volume falls at once for no
 * other reason than oil that left it; a display's digit, noise of any colour and a single wild reading step up as well,
 * and a steep course is as steep a little before or after.
 */
export function suddenFalls(blocks: Blocks, untilS: number, setting: StepSetting): readonly SuddenFall[] {
  const found = stepsBySpan(blocks, untilS, setting).map((steps) => clearFalls(steps, setting));
  const sum = (falls: readonly SuddenFall[]): number => falls.reduce((all, { byPa }) => all + byPa, 0);
  return found.reduce<readonly SuddenFall[]>((most, falls) => (sum(falls) > sum(most) ? falls : most), []);
}

function clearFalls({ ups, downs }: Steps, { noisePa, stepPa }: StepSetting): SuddenFall[] {
  const greatestUp = ups.reduce((most, { byPa }) => Math.max(most, byPa), 0);
  const uOf = ({ unitVariance }: Peak): number => noisePa * Math.sqrt(unitVariance);
  return downs
    .map((step) => ({ atS: step.atS, byPa: -step.byPa - Math.max(0, step.besidePa), uPa: uOf(step) }))
    .filter(
      ({ atS, byPa, uPa }) => atS > atRestS && byPa > Math.max(beyondUps * greatestUp, beyondUps * stepPa, sure * uPa),
    );
}

/** The blocks as they would stand if nothing had fallen at once. */
export function withoutFalls(blocks: Blocks, falls: readonly SuddenFall[]): Blocks {
  if (falls.length === 0) return blocks;
  const pressure = blocks.pressure.map((pa, i) => pa + fallen(falls, Number.NEGATIVE_INFINITY, blocks.timeS[i] ?? 0));
  return { ...blocks, pressure };
}

/** Fallen at once after a time and up to another, Pa. */
const fallen = (falls: readonly SuddenFall[], fromS: number, toS: number): number =>
  falls.reduce((sum, { atS, byPa }) => (atS > fromS && atS <= toS ? sum + byPa : sum), 0);

/** A fit of what is left, with what fell at once counted as lost. */
export function withFalls(fit: CourseFit, falls: readonly SuddenFall[]): CourseFit {
  if (falls.length === 0) return fit;
  const added = (lost: Mixture, fromS: number, toS: number): Mixture => {
    const byPa = fallen(falls, fromS, toS);
    const noise = falls.reduce((sum, { atS, uPa }) => (atS > fromS && atS <= toS ? sum + square(uPa) : sum), 0);
    const more = noise + square(missedU * byPa);
    const moved = <Part extends { readonly mean: number; readonly variance: number }>(part: Part): Part => ({
      ...part,
      mean: part.mean + (1 + missed) * byPa,
      variance: part.variance + more,
    });
    return { ...moved(lost), parts: lost.parts.map(moved) };
  };
  return {
    ...fit,
    loss: (fromS, toS) => added(fit.loss(fromS, toS), fromS, toS),
    lossAt: (timeS) => fit.lossAt(timeS) + fallen(falls, 0, timeS),
  };
}
