import { lineThrough } from '../../src/evaluation/strokes/read-stroke.js';

/** The program's straight line by least squares, with the standard deviations of its slope and of its value at 0. */
export function lineOf(x: readonly number[], y: readonly number[]) {
  const points = x.map((s, i) => ({ s, pa: y[i] ?? Number.NaN }));
  const mean = x.reduce((sum, s) => sum + s, 0) / x.length;
  const last = Math.max(...x);
  const { pa, slope, residualPa, leverage } = lineThrough(points, 0);
  const atLast = lineThrough(points, last).leverage;
  return {
    slope,
    intercept: pa,
    residualSd: residualPa,
    interceptSd: residualPa * leverage,
    slopeSd: (residualPa * Math.sqrt(atLast ** 2 - 1 / x.length)) / (last - mean),
  };
}
