import { exp, square } from '../../units/index.js';

/**
 * Probability that a standard normal variable stays below z: Taylor's series round 0 up to 3, the continued fraction
 * of the tail beyond (Abramowitz and Stegun 1964, 26.2.11 and 26.2.14).
 * @example normalProbability(1.96) // 0.9750021
 */
export function normalProbability(z: number): number {
  const x = Math.abs(z);
  if (z > 8.3) return 1;
  const density = normalDensity(x);
  let tail: number;
  if (x < 3) {
    let term = x;
    let sum = x;
    for (let k = 3; term > 1e-17 * sum; k += 2) {
      term *= (x * x) / k;
      sum += term;
    }
    tail = 0.5 - density * sum;
  } else {
    let fraction = 0;
    for (let k = 40; k > 0; k--) fraction = k / (x + fraction);
    tail = density / (x + fraction);
  }
  return z > 0 ? 1 - tail : tail;
}

/** Density of a standard normal variable. */
export const normalDensity = (z: number): number => exp(-square(z) / 2) / Math.sqrt(2 * Math.PI);
