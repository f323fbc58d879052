import type { DwellContext } from './context.js';
import type { BudgetLine } from './result.js';
import { lineThrough, type Series } from './shape/series.js';
import { type Trend, trendOf } from './shape/trend.js';
import { type ThermalPart, thermalFromProbe, thermalFromTyped, unmeasuredLine } from './temperature.js';
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
  /** Block means after removal of the thermal part. */
  readonly series: Series;
  /** Slope of the plain line through `series`, Pa/s, negative for a fall. */
  readonly slopePaPerS: number;
}

/**
 * Estimates the decay from what the trace has come to: the slope of least squares over every reading, less the
 * thermal part, plus what bends in the course add.
 * @param durationS time over which the drop is stated, s from the start of the dwell
 * @returns null with fewer than 3 readings or all at one time
 */
export function estimateDecay(state: TraceState, context: DwellContext, durationS: number): DecayEstimate | null {
  const { blocks } = state;
  const { total } = blocks;
  if (total.n < 3 || !(total.stt > 0) || !(durationS > 0)) return null;
  const { thermal, series, trend } = separate(state, context, durationS);
  const slope = total.stp / total.stt - (thermal ? slopeOf(thermal.pressure, series) : 0);
  const lineDrop = -slope * durationS;
  const dropPa = lineDrop + trend.startAddPa - trend.endAddPa;
  const slopeU = Math.sqrt(trend.longRunVariance / total.stt);
  const rawFall = dropPa + (thermal?.dropPa ?? 0);
  const budget: BudgetLine[] = [
    {
      of: 'drop',
      name: 'scatter of the readings',
      u: slopeU * durationS,
      degreesOfFreedom: trend.noise.degreesOfFreedom,
      distribution: 't',
      basis: scatterBasis(state, trend),
    },
    {
      of: 'drop',
      name: 'shape of the fall',
      u: trend.shapeUPa,
      degreesOfFreedom: trend.noise.degreesOfFreedom,
      distribution: 'normal',
      basis: 'a straight line, settling and a step weighed by their evidence (Hoeting et al. 1999)',
    },
    resolutionLine(context.gauge.resolutionPa, state.noisePa, rawFall),
    stabilityLine(context.gauge),
    ...(thermal
      ? thermal.budget
      : [unmeasuredLine(context.unmeasuredTemperatureK, context.port.trapped.thermalPaPerK)]),
  ];
  const middle = total.meanP - (thermal ? meanOf(thermal.pressure, series.weight) : 0);
  const startPa = blocks.referencePa + middle - slope * total.meanT + trend.startAddPa + (thermal?.startPa ?? 0);
  return {
    durationS,
    dropPa,
    drop: expand(budget),
    budget,
    statisticalUPa: Math.hypot(slopeU * durationS, trend.shapeUPa),
    startPa,
    endPa: startPa - rawFall,
    thermal,
    trend,
    series,
    slopePaPerS: slope,
  };
}

/** Takes the thermal part out; twice, because the noise that weighs the coefficient shows only after it. */
function separate(
  state: TraceState,
  context: DwellContext,
  durationS: number,
): { thermal: ThermalPart | null; series: Series; trend: Trend } {
  const { blocks } = state;
  const { trapped } = context.port;
  const raw: Series = { t: blocks.timeS, y: blocks.pressure, weight: blocks.count };
  let series = raw;
  let thermal: ThermalPart | null = null;
  let trend = trendOf(series, durationS);
  for (let round = 0; round < 2; round++) {
    thermal = thermalFromProbe(blocks, trapped, durationS, trend.longRunVariance);
    if (!thermal) break;
    const warmed = thermal.pressure;
    series = { ...raw, y: raw.y.map((y, i) => y - (warmed[i] ?? 0)) };
    trend = trendOf(series, durationS);
  }
  if (thermal) return { thermal, series, trend };
  thermal = thermalFromTyped(blocks, state.typed, trapped, durationS);
  if (!thermal) return { thermal, series, trend };
  const warmed = thermal.pressure;
  series = { ...raw, y: raw.y.map((y, i) => y - (warmed[i] ?? 0)) };
  return { thermal, series, trend };
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
