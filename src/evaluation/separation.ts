import type { DwellContext } from './context.js';
import type { Series } from './shape/series.js';
import { type Trend, trendOf } from './shape/trend.js';
import { greatestOrder } from './statistics/correlated-noise.js';
import { type ThermalPart, thermalFromProbe, thermalFromTyped } from './temperature.js';
import type { TraceState } from './trace/dwell-trace.js';
import { roundingCovariances } from './uncertainty/resolution-part.js';

/** A trace taken apart: what the oil's temperature did, and the course of the rest. */
export interface Separation {
  readonly thermal: ThermalPart | null;
  readonly series: Series;
  readonly trend: Trend;
}

/** Takes the thermal part out; twice, because the noise that weighs the coefficient shows only after it. */
export function separated(state: TraceState, context: DwellContext, durationS: number): Separation {
  const { blocks } = state;
  const { trapped } = context.port;
  const raw: Series = { t: blocks.timeS, y: blocks.pressure, weight: blocks.count };
  const rounding = roundingOf(state, context.gauge.resolutionPa, durationS);
  let series = raw;
  let thermal: ThermalPart | null = null;
  let trend = trendOf(series, durationS, rounding);
  for (let round = 0; round < 2; round++) {
    thermal = thermalFromProbe(blocks, trapped, durationS, trend.longRunVariance);
    if (!thermal) break;
    const warmed = thermal.pressure;
    series = { ...raw, y: raw.y.map((y, i) => y - (warmed[i] ?? 0)) };
    trend = trendOf(series, durationS, rounding);
  }
  if (thermal) return { thermal, series, trend };
  thermal = thermalFromTyped(blocks, state.typed, trapped, durationS);
  if (!thermal) return { thermal, series, trend };
  const warmed = thermal.pressure;
  series = { ...raw, y: raw.y.map((y, i) => y - (warmed[i] ?? 0)) };
  return { thermal, series, trend };
}

/** What rounding alone makes of neighbouring blocks, scaled to a single reading as the residuals are. */
function roundingOf(state: TraceState, resolutionPa: number, durationS: number): number[] {
  const { length, total } = state.blocks;
  const fallPa = (total.stp / total.stt) * durationS;
  const readings = total.n / length;
  const covariances = roundingCovariances(resolutionPa, state.noisePa, fallPa, 1 / length, greatestOrder);
  return covariances.map((value) => value * readings);
}
