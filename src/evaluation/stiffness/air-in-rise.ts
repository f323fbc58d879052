import { atmospherePa } from '../../hydraulics/index.js';
import { rootSumSquares, square } from '../../units/index.js';
import { median } from '../statistics/lines.js';
import type { RisePoint, SeenRise } from './rise-watch.js';

/** Part of a rise without a pause and at one pace: at least two points. */
export type RiseSection = readonly RisePoint[];

/** A pause: this many times the pace before it, and at least so many seconds more. */
const pauseTimes = 2;
const pauseS = 1;
/** A change of pump: this many times slower or faster over the next points; below this share of the peak it is air. */
const paceTimes = 1.5;
const paceOver = 8;
const paceFrom = 0.15;

/**
 * Cuts a rise where the supply changed: at a pause (pump to booster, a hold between two stages) and where the pace
 * jumps. Trapped air slows a rise only near zero and eases off smoothly, so it makes no cut.
 */
export function riseSections(rise: SeenRise): readonly RiseSection[] {
  const { ventedUntilS, points } = rise;
  const quickStart = ventedUntilS !== null && ventedUntilS < (points[0]?.s ?? 0);
  const all = quickStart ? [{ s: ventedUntilS, pa: 0 }, ...points] : points;
  const peakPa = all.at(-1)?.pa ?? 0;
  const paces = all.slice(1).map((point, i) => pace(all[i], point));
  const sections: RisePoint[][] = [];
  let open = all.slice(0, 1);
  let usual: number[] = [];
  for (let i = 1; i < all.length; i++) {
    const [before, point, here] = [all[i - 1], all[i], paces[i - 1]];
    if (!before || !point || here === undefined) continue;
    const usualPace = middle(usual);
    const lateS = usualPace === null ? 0 : point.s - before.s - usualPace * (point.pa - before.pa);
    const paused = usualPace !== null && here > pauseTimes * usualPace && lateS > pauseS;
    if (paused || paceJumps(all, paces, i - 1, usual.length, point.pa >= paceFrom * peakPa)) {
      sections.push(open);
      open = paused ? [point] : [before, point];
      usual = paused ? [] : [here];
      continue;
    }
    open.push(point);
    usual = [...usual.slice(1 - paceOver), here];
  }
  sections.push(open);
  return sections.filter((section) => section.length >= 2);
}

const pace = (from: RisePoint | undefined, to: RisePoint): number =>
  from && to.pa > from.pa ? (to.s - from.s) / (to.pa - from.pa) : 0;

/** Both the middle pace and the whole of it must jump: one coarse step of the display moves neither. */
function paceJumps(
  all: readonly RisePoint[],
  paces: readonly number[],
  at: number,
  usual: number,
  clearOfAir: boolean,
): boolean {
  if (!clearOfAir || usual < paceOver || at + paceOver > paces.length) return false;
  const [from, here, to] = [all[at - paceOver], all[at], all[at + paceOver]];
  if (!here || !to) return false;
  const jumps = (before: number, after: number): boolean =>
    before > 0 && after > 0 && (after > paceTimes * before || before > paceTimes * after);
  const middles = (start: number): number => middle(paces.slice(start, start + paceOver)) ?? 0;
  return jumps(pace(from, here), pace(here, to)) && jumps(middles(at - paceOver), middles(at));
}

function middle(values: readonly number[]): number | null {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? null;
}

/** Coefficients of a weighted least-squares fit with their covariance, widened when the scatter is larger than assumed. */
export interface WeightedFit {
  readonly values: readonly number[];
  readonly u: readonly number[];
  /** Root mean square of what is left of y. */
  readonly rest: number;
}

/**
 * Weighted least squares on a few terms, by Cholesky's factors of the normal equations with columns scaled to one.
 * @param rows the terms at each point
 * @param u standard uncertainty of each y
 * @returns null with fewer points than terms + 2, or when the terms cannot be told apart
 */
export function weightedFit(
  rows: readonly (readonly number[])[],
  y: readonly number[],
  u: readonly number[],
): WeightedFit | null {
  const terms = rows[0]?.length ?? 0;
  if (terms === 0 || rows.length < terms + 2) return null;
  const scale = Array.from({ length: terms }, (_, j) =>
    Math.sqrt(rows.reduce((sum, row, i) => sum + square((row[j] ?? 0) / (u[i] ?? 1)), 0)),
  );
  if (scale.some((value) => !(value > 0))) return null;
  const normal = scale.map((sj, j) =>
    scale.map((sk, k) =>
      rows.reduce((sum, row, i) => sum + ((row[j] ?? 0) * (row[k] ?? 0)) / (sj * sk * square(u[i] ?? 1)), 0),
    ),
  );
  const right = scale.map((sj, j) =>
    rows.reduce((sum, row, i) => sum + ((row[j] ?? 0) * (y[i] ?? 0)) / (sj * square(u[i] ?? 1)), 0),
  );
  const inverse = inverted(normal);
  if (!inverse) return null;
  const values = inverse.map((row, j) => row.reduce((sum, v, k) => sum + v * (right[k] ?? 0), 0) / (scale[j] ?? 1));
  const residuals = rows.map((row, i) => {
    const fitted = row.reduce((part, term, j) => part + term * (values[j] ?? 0), 0);
    return ((y[i] ?? 0) - fitted) / (u[i] ?? 1);
  });
  const widened = widening(residuals, terms);
  const rest = Math.sqrt(residuals.reduce((sum, r, i) => sum + square(r * (u[i] ?? 1)), 0) / rows.length);
  return {
    values,
    rest,
    u: inverse.map((row, j) => (widened * Math.sqrt(Math.max(0, row[j] ?? 0))) / (scale[j] ?? 1)),
  };
}

/** By how much the scatter exceeds what was assumed; more when neighbours scatter alike (strokes of a booster). */
function widening(residuals: readonly number[], terms: number): number {
  let [squares, products] = [0, 0];
  for (const [i, residual] of residuals.entries()) {
    squares += residual * residual;
    products += residual * (residuals[i - 1] ?? 0);
  }
  const scatter = Math.sqrt(squares / (residuals.length - terms));
  if (scatter <= 1) return 1;
  const alike = Math.min(0.98, Math.max(0, products / squares));
  return Math.max(1, scatter * Math.sqrt((1 + alike) / (1 - alike)));
}

/** Inverse of a positive definite matrix whose diagonal is one, by elimination; null when it is nearly singular. */
function inverted(matrix: readonly (readonly number[])[]): number[][] | null {
  const size = matrix.length;
  const work = matrix.map((row, i) => [...row, ...Array.from({ length: size }, (_, j) => (i === j ? 1 : 0))]);
  for (let i = 0; i < size; i++) {
    const pivotRow = work[i];
    const pivot = pivotRow?.[i] ?? 0;
    if (!pivotRow || !(pivot > 1e-10)) return null;
    for (let k = 0; k < 2 * size; k++) pivotRow[k] = (pivotRow[k] ?? 0) / pivot;
    for (let j = 0; j < size; j++) {
      const row = work[j];
      const factor = row?.[i] ?? 0;
      if (!row || j === i || factor === 0) continue;
      for (let k = 0; k < 2 * size; k++) row[k] = (row[k] ?? 0) - factor * (pivotRow[k] ?? 0);
    }
  }
  return work.map((row) => row.slice(size));
}

/** What the bow of a rise says of trapped air. */
export interface AirInRise {
  /** Free air at the atmosphere over the solid give of everything else, Pa: times that give over the volume, a share. */
  readonly airOverGivePa: number;
  readonly uPa: number;
}

/** What a gauge and a clock may be off by beside their steps: lag, the first opening of a valve. */
const leastTimeU = 0.02;
const fewestPoints = 8;

/**
 * Trapped air from the bow of a rise at constant flow, by weighted least squares on
 *
 *     t = t0 + a p + b p/(p + p0) + c p2,    b/a = x V / (V/K)
 *
 * series rule with isothermal air, which swallows half of its oil by one bar and all but a twentieth by twenty. The
 * last term takes up what bends a rise slowly: heat leaving the oil, seals and hoses that go on yielding, a pump that
 * slips. Without a known flow only the ratio b/a is seen, and it is enough. A rise whose rate was held constant by hand
 * shows no bow.
 * @param noisePa standard uncertainty of one reading
 * @param lagS by how much the gauge may follow late: its start from zero is bowed by as much, air or not
 * @returns null when the section begins too high or has too few points to tell
 */
export function airInRise(section: RiseSection, noisePa: number, lagS: number): AirInRise | null {
  const first = section[0];
  if (!first) return null;
  // A section that starts at the last vented reading: pumping began somewhere after it.
  const points = first.pa === 0 ? section.slice(1) : section;
  const [from, to] = [points[0], points.at(-1)];
  if (!from || !to || points.length < fewestPoints || from.pa > 10 * atmospherePa) return null;
  const bent = to.pa > 30 * atmospherePa;
  const p0 = atmospherePa;
  const rows = points.map(({ pa }) => [1, pa / p0, pa / (pa + p0), ...(bent ? [square(pa / to.pa)] : [])]);
  const times = points.map(({ s }) => s - from.s);
  let paceSPerPa = points.map(() => (to.s - from.s) / (to.pa - from.pa));
  let found: AirInRise | null = null;
  for (let round = 0; round < 4; round++) {
    const u = paceSPerPa.map((pace) => rootSumSquares(leastTimeU, noisePa * pace));
    const fit = weightedFit(rows, times, u);
    const [, a, b] = fit?.values ?? [];
    if (!fit || a === undefined || b === undefined || !(a > 0)) return null;
    const ratio = b / a;
    // What the curve leaves over may be a booster's stroke and not noise: it counts in full.
    const bowU = rootSumSquares(fit.u[2] ?? 0, fit.rest, lagS);
    found = { airOverGivePa: ratio * p0, uPa: p0 * rootSumSquares(bowU / a, (ratio * (fit.u[1] ?? 0)) / a) };
    paceSPerPa = points.map(({ pa }) => (a + (Math.max(0, b) * p0 * p0) / square(pa + p0)) / p0);
  }
  return found;
}

/** The end of a rise is held against the pace of this part of it. */
const [paceFromShare, paceToShare] = [0.5, 0.85];
/** Slower than this share of the pace up to the end, and than the next one at it, the reading came after a pump that had stopped. */
const stoppedShare = 0.85;
const dyingShare = 0.3;

/**
 * How late a gauge follows, s, from the end of a rise: what it still gained after the pump had stopped, over the pace
 * before. A filter of one time constant, or a mean over twice that, gives about that constant; a pump that eases off
 * by hand looks the same, one that slips as the pressure rises does not. Trapped air bows the start alone.
 */
export function lagOfRise(points: RiseSection): number {
  const peakPa = points.at(-1)?.pa ?? 0;
  const rates = points.slice(1).map((point, i) => {
    const before = points[i] ?? point;
    return { pa: before.pa, paPerS: (point.pa - before.pa) / Math.max(1e-3, point.s - before.s) };
  });
  const usual = rates.filter(({ pa }) => pa >= paceFromShare * peakPa && pa < paceToShare * peakPa);
  const pace = median(Float64Array.from(usual, ({ paPerS }) => paPerS));
  if (!(pace > 0)) return 0;
  const lastQuick = rates.findLastIndex(({ paPerS }) => paPerS >= stoppedShare * pace);
  const stopped = points[lastQuick + 1];
  const [beforeLast, last] = [points.at(-3), points.at(-1)];
  const dies = beforeLast && last && last.pa - beforeLast.pa < dyingShare * pace * (last.s - beforeLast.s);
  return stopped && dies ? (peakPa - stopped.pa) / (stoppedShare * pace) : 0;
}
