import { rootSumSquares, square } from '../../units/index.js';
import type { Series } from './series.js';
import { lineThrough } from './series.js';

/** The pressure at both ends of a dwell as its own neighbourhood shows it, without any idea of what lies between. */
export interface Ends {
  readonly startPa: number;
  readonly endPa: number;
  /** Standard uncertainty of the difference, from the scatter about the two short lines. */
  readonly differenceU: number;
}

/** Share of the points at each end that a short line is drawn through; at least 4. */
const share = 0.05;
const fewest = 4;

/**
 * How much larger than the noise between neighbours what is left of a fit may be, in variance. First-order noise of
 * correlation 0.99 reaches it; a fit that leaves more has the wrong shape.
 */
const misfitRatio = 100;

/** True when what a fit leaves is far more than the noise and the steps of the display account for. */
export function doesNotFit(residuals: Float64Array, noisePa: number, resolutionPa: number): boolean {
  const squares = residuals.reduce((sum, value) => sum + value * value, 0) / residuals.length;
  return residuals.length >= 4 * fewest && squares > misfitRatio * Math.max(square(noisePa), square(resolutionPa) / 6);
}

/** Short lines through the first and the last points, extended to the ends of the dwell. */
export function endsOf(series: Series, durationS: number): Ends {
  const points = Math.max(fewest, Math.ceil(share * series.t.length));
  const first = extended(series, 0, points, 0);
  const last = extended(series, series.t.length - points, series.t.length, durationS);
  return { startPa: first.value, endPa: last.value, differenceU: rootSumSquares(first.u, last.u) };
}

function extended(series: Series, from: number, to: number, at: number): { value: number; u: number } {
  const piece = {
    t: series.t.slice(from, to),
    y: series.y.slice(from, to),
    weight: series.weight.slice(from, to),
  };
  const { meanT, meanY, slope, stt } = lineThrough(piece);
  const total = piece.weight.reduce((sum, weight) => sum + weight, 0);
  let squares = 0;
  for (let i = 0; i < piece.t.length; i++)
    squares += (piece.weight[i] ?? 0) * square((piece.y[i] ?? 0) - meanY - slope * ((piece.t[i] ?? 0) - meanT));
  const variance = squares / (piece.t.length - 2);
  const reach = at - meanT;
  return { value: meanY + slope * reach, u: Math.sqrt(variance * (1 / total + (stt > 0 ? (reach * reach) / stt : 0))) };
}
