import { rootSumSquares } from '../units/index.js';
import type { DwellContext } from './context.js';
import { levelPa } from './level.js';
import type { BudgetLine } from './result.js';
import { separated } from './separation.js';
import { drawUpPa } from './shape/draw-up.js';
import { doesNotFit, endsOf } from './shape/ends.js';
import { lineThrough, type Series } from './shape/series.js';
import type { Trend } from './shape/trend.js';
import { type ThermalPart, unmeasuredLine } from './temperature.js';
import type { TraceState } from './trace/dwell-trace.js';
import { type Expanded, expand } from './uncertainty/combine.js';
import { stabilityLine } from './uncertainty/gauge-part.js';
import { resolutionLine } from './uncertainty/resolution-part.js';

/** The decay over a stretch of time, corrected for temperature, with its uncertainty. Positive for a fall. */
export interface DecayEstimate {
  readonly durationS: number;
  readonly dropPa: number;
  readonly drop: Expanded;
  readonly budget: readonly BudgetLine[];
  /** The part of `drop.u` that shrinks as readings come in, Pa. */
  readonly statisticalUPa: number;
  /** Fitted pressures, as the gauge showed them. */
  readonly startPa: number;
  readonly endPa: number;
  readonly thermal: ThermalPart | null;
  readonly trend: Trend;
  /** False when neither a line nor settling nor a step is the shape of the trace. */
  readonly fits: boolean;
  /** How far the pressure rose again above its lowest within the dwell, thermal part taken out, Pa. */
  readonly drawUpPa: number;
  /** Block means after removal of the thermal part. */
  readonly series: Series;
  /** Slope of the plain line through `series`, Pa/s, negative for a fall. */
  readonly slopePaPerS: number;
}

/**
 * Estimates the decay from what the trace has come to: the slope of least squares over every reading, less the
 * thermal part, plus what bends in the course add. A trace that none of the shapes fits is taken at its ends.
 * @param durationS time over which the drop is stated, s from the start of the dwell
 * @returns null with fewer than 3 readings or all at one time
 */
export function estimateDecay(state: TraceState, context: DwellContext, durationS: number): DecayEstimate | null {
  const { blocks } = state;
  const { total } = blocks;
  if (total.n < 3 || !(total.stt > 0) || !(durationS > 0)) return null;
  const { thermal, series, trend } = separated(state, context, durationS);
  const slopePaPerS = total.stp / total.stt - (thermal ? slopeOf(thermal.pressure, series) : 0);
  const meanPa = total.meanP - (thermal ? meanOf(thermal.pressure, series.weight) : 0);
  const fits = !doesNotFit(trend.residualSeries, state.noisePa, context.gauge.resolutionPa);
  const fitted = fittedCourse(state, trend, slopePaPerS, meanPa, durationS);
  const course = fits ? fitted : courseBetweenEnds(series, fitted, durationS);
  const dropPa = course.startPa - course.endPa;
  const thermalDropPa = thermal?.dropPa ?? 0;
  const budget: BudgetLine[] = [
    ...course.budget,
    resolutionLine(context.gauge.resolutionPa, state.noisePa, dropPa + thermalDropPa),
    stabilityLine(context.gauge),
    ...(thermal
      ? thermal.budget
      : [unmeasuredLine(context.unmeasuredTemperatureK, context.port.trapped.thermalPaPerK)]),
  ];
  const shownPa = blocks.referencePa + course.startPa + (thermal?.startPa ?? 0);
  const startPa = levelPa(context, shownPa);
  return {
    durationS,
    dropPa,
    drop: expand(budget),
    budget,
    statisticalUPa: rootSumSquares(...course.budget.map((line) => line.u)),
    startPa,
    endPa: levelPa(context, shownPa - dropPa - thermalDropPa),
    thermal,
    trend,
    fits,
    drawUpPa: drawUpPa(series),
    series,
    slopePaPerS,
  };
}

/** The pressure at both ends of the dwell, thermal part taken out, Pa, and how well the difference is known. */
interface Course {
  readonly startPa: number;
  readonly endPa: number;
  readonly budget: readonly BudgetLine[];
}

function fittedCourse(state: TraceState, trend: Trend, slope: number, meanPa: number, durationS: number): Course {
  const { meanT, stt } = state.blocks.total;
  const { degreesOfFreedom } = trend.noise;
  const linePa = meanPa - slope * meanT;
  return {
    startPa: linePa + trend.startAddPa,
    endPa: linePa + slope * durationS + trend.endAddPa,
    budget: [
      {
        of: 'drop',
        name: 'scatter of the readings',
        u: Math.sqrt(trend.longRunVariance / stt) * durationS,
        degreesOfFreedom,
        distribution: 't',
        basis: scatterBasis(state, trend),
      },
      {
        of: 'drop',
        name: 'shape of the fall',
        u: trend.shapeUPa,
        degreesOfFreedom,
        distribution: 'normal',
        basis: 'a straight line, settling and a step weighed by their evidence (Hoeting et al. 1999)',
      },
    ],
  };
}

function courseBetweenEnds(series: Series, fitted: Course, durationS: number): Course {
  const { startPa, endPa, differenceU } = endsOf(series, durationS);
  const apart = Math.abs(fitted.startPa - fitted.endPa - (startPa - endPa));
  return {
    startPa,
    endPa,
    budget: [
      {
        of: 'drop',
        name: 'scatter of the readings',
        u: differenceU,
        degreesOfFreedom: null,
        distribution: 'normal',
        basis: 'short lines through the first and the last twentieth of the dwell, as no shape fits the whole',
      },
      {
        of: 'drop',
        name: 'shape of the fall',
        u: apart / Math.sqrt(3),
        degreesOfFreedom: null,
        distribution: 'rectangular',
        basis: 'difference between the ends and the nearest of the shapes tried, none of which fits',
      },
    ],
  };
}

const slopeOf = (y: Float64Array, series: Series): number => lineThrough({ ...series, y }).slope;

function meanOf(values: Float64Array, weight: Float64Array): number {
  let [sum, total] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    sum += (weight[i] ?? 0) * (values[i] ?? 0);
    total += weight[i] ?? 0;
  }
  return sum / total;
}

function scatterBasis(state: TraceState, trend: Trend): string {
  const effective = Math.max(1, Math.round(state.used / trend.noise.slopeFactor));
  const order = trend.noise.order;
  return order === 0
    ? `least squares over ${state.used} readings; no correlation between neighbours seen`
    : `least squares over ${state.used} readings, worth ${effective} independent ones (autoregression of order ${order}; Berk 1974, Bayley and Hammersley 1946)`;
}
