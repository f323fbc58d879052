import { exp, square } from '../../units/index.js';
import { normalDensity, normalProbability } from '../uncertainty.js';

/** A normal distribution with a weight. */
export interface Weighted {
  readonly weight: number;
  readonly mean: number;
  readonly variance: number;
}

/**
 * A normal distribution weighed by what is known of its variable: as likely as not above 0, below it only as far as a
 * normal distribution of that width reaches. Two truncated normal distributions come of it, each given by its moments
 * (Johnson, Kotz and Balakrishnan 1994, 13.10).
 * @param gain standard deviation of what may lie below 0; Infinity leaves the distribution as it is
 */
export function mostlyPositive({ weight, mean, variance }: Weighted, gain: number): Weighted[] {
  if (!Number.isFinite(gain) || !(variance > 0)) return [{ weight, mean, variance }];
  const sd = Math.sqrt(variance);
  const above = truncated(mean, sd);
  const sum = variance + square(gain);
  const share = square(gain) / sum;
  const below = truncated(-mean * share, Math.sqrt(variance * share));
  const drawn = exp(-square(mean) / (2 * sum)) * Math.sqrt(share);
  return [
    { weight: weight * above.probability, mean: above.mean, variance: above.variance },
    { weight: weight * drawn * below.probability, mean: -below.mean, variance: below.variance },
  ].filter((part) => part.weight > 0);
}

/** The part above 0 of a normal distribution: how much of it, and its moments. */
function truncated(mean: number, sd: number): { probability: number; mean: number; variance: number } {
  const z = mean / sd;
  const probability = normalProbability(z);
  if (z < -8) return { probability, mean: sd / -z, variance: square(sd / z) };
  const hazard = normalDensity(z) / probability;
  return {
    probability,
    mean: mean + sd * hazard,
    variance: Math.max(0, variance(sd) * (1 - hazard * (z + hazard))),
  };
}

const variance = (sd: number): number => sd * sd;
