import { exp, log, square } from '../../units/index.js';
import { type CorrelatedNoise, correlatedNoise } from '../statistics/correlated-noise.js';
import { type Bend, bendAt, bendsOf } from './bend.js';
import { aboveLine, lineThrough, type Series } from './series.js';

/** The course of a dwell: a straight line, and what speaks for a bend in it. */
export interface Trend {
  /** Noise of a single reading that a slope would see, variance in Pa2: variance x factor for correlation. */
  readonly longRunVariance: number;
  readonly noise: CorrelatedNoise;
  /** Weights of the shapes tried; they add up to 1. */
  readonly weight: { readonly line: number; readonly settling: number; readonly step: number };
  /** What bends, weighed by their evidence, add to the line's value at both ends, Pa. */
  readonly startAddPa: number;
  readonly endAddPa: number;
  /** Standard uncertainty of the drop that comes of not knowing the shape, Pa. */
  readonly shapeUPa: number;
  readonly bestSettling: Bend | null;
  readonly bestStep: Bend | null;
  /** What is left of the series about the likelier of line and best bend, Pa. */
  readonly residualSeries: Float64Array;
}

/** Odds given beforehand to settling and to a step against a plain line. */
const settlingOdds = 0.25;
const stepOdds = 0.05;
/** How many times its own standard error a bend may be large before it is seen, as a standard deviation. */
const priorSpread = 10;

/**
 * Weighs a straight line, a line with settling and a line with a step by their evidence (Bayesian model averaging,
 * Hoeting et al. 1999; a bend's size has a normal prior `priorSpread` standard errors wide). So a bend too weak to be
 * sure of still widens the uncertainty, and a clear one corrects the drop. Rounding counts as noise when bends are
 * weighed, lest a staircase be taken for a step, but not again in the uncertainty.
 * @param rounding autocovariances that the steps of the display alone give the points, each scaled to one reading
 */
export function trendOf(series: Series, durationS: number, rounding: readonly number[] = []): Trend {
  const line = lineThrough(series);
  const residuals = aboveLine(series, line);
  const straight = { ...series, y: residuals };
  const search = bendsOf(straight, durationS);
  const { bestSettling, bestStep } = search;
  const bestBend = (bestStep?.gain ?? 0) > (bestSettling?.gain ?? 0) ? bestStep : bestSettling;
  const bentSeries = bestBend ? withoutBend(straight, bestBend) : residuals;
  const ofLine = standardised(residuals, series.weight);
  const ofBend = standardised(bentSeries, series.weight);
  const lineNoise = correlatedNoise(ofLine, 2, rounding);
  const bentNoise = correlatedNoise(ofBend, bestBend ? 4 : 2, rounding);
  const bentVariance = bentNoise.variance * bentNoise.slopeFactor;
  const wary = (rounding[0] ?? 0) > 0 ? correlatedNoise(ofBend, bestBend ? 4 : 2) : bentNoise;
  const spread = wary.variance * wary.slopeFactor;
  const bends = [...search.settlings(spread), ...search.steps];
  const { evidence, total } = weigh(bends, spread);
  let [startAddPa, endAddPa, within, settling, step] = [0, 0, 0, 0, 0];
  let squared = 0;
  bends.forEach((bend, i) => {
    const share = (evidence[i] ?? 0) / total;
    if (bend.kind === 'settling') settling += share;
    else step += share;
    const reach = bend.startShare - bend.endShare;
    startAddPa += share * bend.sizePa * bend.startShare;
    endAddPa += share * bend.sizePa * bend.endShare;
    within += share * reach * reach * bend.unitVariance * bentVariance;
    squared += share * square(reach * bend.sizePa);
  });
  const lineWeight = 1 - settling - step;
  return {
    longRunVariance: lineWeight * lineNoise.variance * lineNoise.slopeFactor + (1 - lineWeight) * bentVariance,
    noise: lineWeight >= 0.5 ? lineNoise : bentNoise,
    weight: { line: lineWeight, settling, step },
    startAddPa,
    endAddPa,
    shapeUPa: Math.sqrt(Math.max(0, within + squared - square(startAddPa - endAddPa))),
    bestSettling,
    bestStep,
    residualSeries: lineWeight >= 0.5 ? residuals : bentSeries,
  };
}

/** Evidence of each bend against a line's 1, scaled so that nothing overflows, and the total with the line. */
function weigh(bends: readonly Bend[], spread: number): { evidence: number[]; total: number } {
  const keep = square(priorSpread) / (1 + square(priorSpread));
  const logs = bends.map((bend) => {
    const odds = bend.prior * (bend.kind === 'step' ? stepOdds : settlingOdds);
    const signal = bend.gain / spread;
    if (Number.isNaN(signal)) return Number.NEGATIVE_INFINITY;
    return log(odds / Math.sqrt(1 + square(priorSpread))) + (Math.min(signal, 1e12) * keep) / 2;
  });
  const greatest = Math.max(0, ...logs);
  const evidence = logs.map((log) => exp(log - greatest));
  return { evidence, total: evidence.reduce((all, one) => all + one, exp(-greatest)) };
}

/** Residuals scaled so that each block has the variance of a single reading, if readings were independent. */
function standardised(residuals: Float64Array, weight: Float64Array): Float64Array {
  return residuals.map((value, i) => value * Math.sqrt(weight[i] ?? 1));
}

/** The residuals about the line and the bend together. */
function withoutBend(straight: Series, bend: Bend): Float64Array {
  const left = straight.y.map((value, i) => value - bend.sizePa * bendAt(bend, straight.t[i] ?? 0));
  const series = { ...straight, y: left };
  return aboveLine(series, lineThrough(series));
}
