import type { TrappedOil } from '../hydraulics/index.js';
import { exp, square } from '../units/index.js';
import type { Cells } from './course/cells.js';
import type { Explanation } from './course/explanations.js';
import { lineThrough } from './shape/series.js';
import { localLine } from './statistics/lines.js';
import type { TypedOil } from './trace/dwell-trace.js';
import { rectangularU } from './uncertainty.js';

/** Lags between oil and probe that are tried, s; the longest that is under a third of the hold bounds them. */
const lagsTried = [0, 5, 10, 15, 20, 30, 40, 50, 60, 80, 100, 120];

/** A probe in or on the cylinder follows within about a minute (common practice, no source): longer lags count for less. */
const usualLagS = 60;

/** Half-width of a probe's own drift over a dwell, K: common practice, no source. */
export const probeStabilityK = 0.01;

/** Half-width within which a person reads a thermometer, K: common practice, no source. */
export const typedHalfWidthK = 0.1;

/** A probe with steps above this is smoothed over more of its neighbours, K. */
const coarseK = 0.02;

/** A logged oil temperature: what it explains, with each lag, and how finely it was read. */
export interface ProbeCourse {
  readonly explanations: readonly Explanation[];
  /** Temperature at the probe, K, on an arbitrary zero. */
  at(timeS: number): number;
  /** Scatter of the points round that course, standard deviation, K. */
  readonly scatterK: number;
}

/**
 * A logged oil temperature as explanations of the fall: the probe follows the oil with a first-order lag, so the oil
 * is at probe + lag x its rate of change, from lines through its neighbours at every moment.
 * @param options.stepK step of the probe, K
 * @param odds given beforehand to the probe seeing the oil
 * @returns null when the oil was not logged over at least half of the hold
 */
export function probeCourse(
  cells: Cells,
  trapped: TrappedOil,
  { endS, stepK }: { readonly endS: number; readonly stepK: number },
  odds: number,
): ProbeCourse | null {
  const known = Array.from(cells.t.keys()).filter((i) => !Number.isNaN(cells.oil[i] ?? Number.NaN));
  const t = Float64Array.from(known, (i) => cells.t[i] ?? 0);
  const oil = Float64Array.from(known, (i) => cells.oil[i] ?? 0);
  if (known.length < 3 || (t.at(-1) ?? 0) - (t[0] ?? 0) < endS / 2) return null;
  const weight = Float64Array.from(known, (i) => cells.count[i] ?? 0);
  const spacingS = endS / Math.max(1, cells.t.length);
  const curve = localLine(t, oil, weight, spacingS * (stepK > coarseK ? 6 : 2.5));
  const lags = lagsTried.filter((lag) => lag === 0 || lag <= endS / 3);
  const shares = lags.map((lagS, i) => exp(-lagS / usualLagS) * gapRound(lags, i));
  const total = shares.reduce((sum, one) => sum + one, 0);
  const explanations = lags.map((lagS, i): Explanation => {
    const fallK = (timeS: number): number => -(curve.value(timeS) + lagS * curve.rate(timeS));
    const startK = fallK(0);
    return {
      name: 'oil temperature',
      prior: (odds * (shares[i] ?? 0)) / total,
      term: {
        values: cells.t.map((timeS) => fallK(timeS) - startK),
        mean: trapped.thermalPaPerK,
        sd: Math.max(trapped.thermalUPaPerK, 1e-6 * trapped.thermalPaPerK),
      },
      lagS,
      at: (timeS) => fallK(timeS) - startK,
    };
  });
  const squares = known.reduce((sum, _, i) => sum + square((oil[i] ?? 0) - curve.value(t[i] ?? 0)), 0);
  return { explanations, at: (timeS) => curve.value(timeS), scatterK: Math.sqrt(squares / known.length) };
}

/** Temperatures that a person typed: a straight line through them, and how well it is known. */
export interface TypedCourse {
  readonly explanation: Explanation;
  /** Fall of the oil over a second, K/s, and its standard uncertainty. */
  readonly fallKPerS: number;
  readonly fallUKPerS: number;
}

/** @returns null when fewer than two were typed or they span less than half of the hold */
export function typedCourse(
  typed: readonly TypedOil[],
  cells: Cells,
  trapped: TrappedOil,
  endS: number,
): TypedCourse | null {
  const times = typed.map((one) => one.timeS);
  const span = Math.max(...times) - Math.min(...times);
  if (typed.length < 2 || !(span >= endS / 2)) return null;
  const { slope, stt } = lineThrough({
    t: Float64Array.from(times),
    y: Float64Array.from(typed, (one) => one.oilK),
    weight: new Float64Array(typed.length).fill(1),
  });
  const term = {
    values: cells.t.map((timeS) => -slope * timeS),
    mean: trapped.thermalPaPerK,
    sd: Math.max(trapped.thermalUPaPerK, 1e-6 * trapped.thermalPaPerK),
  };
  return {
    explanation: { name: 'oil temperature', prior: 1, term, lagS: 0, at: (timeS) => -slope * timeS },
    fallKPerS: -slope,
    fallUKPerS: rectangularU(typedHalfWidthK) / Math.sqrt(stt),
  };
}

/** How much of the range of lags one of them stands for. */
const gapRound = (lags: readonly number[], i: number): number =>
  lags.length === 1 ? 1 : ((lags[i + 1] ?? lags[i] ?? 0) - (lags[i - 1] ?? lags[i] ?? 0)) / 2;

/**
 * What the steps of a probe leave uncertain in a smoothed difference of temperature, K: two roundings where it hardly
 * moved, less the more steps it went through, as the smooth curve averages them.
 */
export function probeStepU(stepK: number, fallK: number): number {
  const steps = stepK > 0 ? Math.abs(fallK) / stepK : 0;
  return stepK / Math.sqrt(6) / Math.sqrt(1 + square(steps) / 4);
}
