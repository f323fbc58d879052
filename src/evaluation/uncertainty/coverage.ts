import { square } from '../../units/index.js';
import { normalDensity, normalProbability } from './normal.js';

/** One normal distribution of a mixture, about the mixture's mean. */
export interface Part {
  readonly weight: number;
  readonly mean: number;
  readonly variance: number;
}

/** Two-sided coverage of every expanded uncertainty here. */
export const coverage = 0.95;

/**
 * Half-width about the mean that holds 95 % of a mixture of normal distributions to which an error anywhere within
 * +-bound is added (propagation of distributions, JCGM 101:2008). One dominant bound gives 0.95 of itself, not 1.13.
 * @param bound half-width of the greatest rectangular part; the other parts are in the variances
 * @example expandedOf([{ weight: 1, mean: 0, variance: 1 }], 0) // 1.95996
 */
export function expandedOf(parts: readonly Part[], bound: number): number {
  const centre = parts.reduce((sum, { weight, mean }) => sum + weight * mean, 0);
  const inside = (half: number): number => {
    let sum = 0;
    for (const { weight, mean, variance } of parts) {
      const sd = Math.sqrt(variance);
      sum += weight * (below(centre - mean + half, sd, bound) - below(centre - mean - half, sd, bound));
    }
    return sum;
  };
  let high = bound;
  for (const { mean, variance } of parts)
    high = Math.max(high, bound + Math.abs(mean - centre) + 4 * Math.sqrt(variance));
  if (!(high > 0)) return high;
  // False position, the end that stays halved (the Illinois method, Dowell and Jarratt 1971).
  let low = { at: 0, beyond: -coverage };
  let up = { at: high, beyond: inside(high) - coverage };
  let stays: 'low' | 'up' | null = null;
  for (let step = 0; step < 100 && up.beyond > 0; step++) {
    const at = up.at - ((up.at - low.at) * up.beyond) / (up.beyond - low.beyond);
    const beyond = inside(at) - coverage;
    if (Math.abs(beyond) < 1e-11) return at;
    if (beyond < 0) {
      if (stays === 'up') up = { ...up, beyond: up.beyond / 2 };
      [low, stays] = [{ at, beyond }, 'up'];
    } else {
      if (stays === 'low') low = { ...low, beyond: low.beyond / 2 };
      [up, stays] = [{ at, beyond }, 'low'];
    }
  }
  return up.at;
}

/** Probability that normal(0, sd) + uniform(-bound, bound) stays below x. */
function below(x: number, sd: number, bound: number): number {
  if (!(sd > 0)) {
    if (!(bound > 0)) return x >= 0 ? 1 : 0;
    return Math.min(1, Math.max(0, (x + bound) / (2 * bound)));
  }
  if (bound < 1e-3 * sd) return normalProbability(x / sd);
  const [a, b] = [(x + bound) / sd, (x - bound) / sd];
  const integral = (z: number): number => z * normalProbability(z) + normalDensity(z);
  return Math.min(1, Math.max(0, ((integral(a) - integral(b)) * sd) / (2 * bound)));
}

/** Root of the variance of such a mixture and bound. */
export function standardOf(parts: readonly Part[], bound: number): number {
  const centre = parts.reduce((sum, { weight, mean }) => sum + weight * mean, 0);
  const spread = parts.reduce(
    (sum, { weight, mean, variance }) => sum + weight * (variance + square(mean - centre)),
    square(bound) / 3,
  );
  return Math.sqrt(spread);
}
