import type { GaugeSpec } from '../procedure/index.js';
import {
  cosOfTurns,
  exp,
  log,
  log1p,
  type PressureDifference,
  pressureDifferencePa,
  sinOfTurns,
  square,
} from '../units/index.js';
import type { BudgetLine } from './result.js';

/** Standard deviation of an error that lies anywhere within +-halfWidth (GUM 4.3.7). @example rectangularU(1) // 0.57735 */
export const rectangularU = (halfWidth: number): number => halfWidth / Math.sqrt(3);

/** Standard uncertainty of one indication with steps of `resolution` (GUM F.2.2.1). @example resolutionU(0.1) // 0.0289 */
export const resolutionU = (resolution: number): number => resolution / Math.sqrt(12);

/** The same of the difference of two indications. @example dropResolutionU(0.1) // 0.0408 */
export const dropResolutionU = (resolution: number): number => Math.SQRT2 * resolutionU(resolution);

/** Share of the accuracy class taken for drift and hysteresis over a dwell when the gauge's data don't state them. */
const stabilityShare = 0.1;

/**
 * The uncertainty of a pressure level: accuracy class, calibration and resolution, each in full. It never enters a
 * drop, where the gauge's gain and offset cancel.
 * @example a 0 to 400 bar gauge of 0.25 % and 0.1 bar steps: u 0.5781 bar in all, U (k = 2) 1.1561 bar
 */
export function levelBudget(gauge: GaugeSpec): BudgetLine[] {
  const halfWidth = gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa);
  const lines: BudgetLine[] = [
    {
      of: 'level',
      name: 'accuracy class',
      u: rectangularU(halfWidth),
      degreesOfFreedom: null,
      distribution: 'rectangular',
      basis: `limit of error ±{difference:${halfWidth}} anywhere in the range (GUM 4.3.7)`,
    },
    {
      of: 'level',
      name: 'resolution',
      u: resolutionU(gauge.resolutionPa),
      degreesOfFreedom: null,
      distribution: 'rectangular',
      basis: `steps of {difference:${gauge.resolutionPa}} (GUM F.2.2.1)`,
    },
  ];
  const calibrationU = gauge.calibration?.expandedUPa;
  if (calibrationU !== undefined)
    lines.push({
      of: 'level',
      name: 'calibration',
      u: calibrationU / 2,
      degreesOfFreedom: null,
      distribution: 'normal',
      basis: `certificate ${gauge.calibration?.certificate ?? ''}: ±{difference:${calibrationU}} at k = 2`,
    });
  return lines;
}

/** Expanded uncertainty (k = 2) of a pressure level. */
export function levelUncertainty(gauge: GaugeSpec): PressureDifference {
  return pressureDifferencePa(2 * Math.sqrt(levelBudget(gauge).reduce((sum, line) => sum + square(line.u), 0)));
}

/** Drift and hysteresis of the gauge over a dwell, as it enters a drop. */
export function stabilityLine(gauge: GaugeSpec): BudgetLine {
  const stated = gauge.stabilityPa;
  const halfWidth = stated ?? stabilityShare * gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa);
  return {
    of: 'drop',
    name: 'gauge stability',
    u: rectangularU(halfWidth),
    degreesOfFreedom: null,
    distribution: 'rectangular',
    basis:
      stated === undefined
        ? `not stated for this gauge: a tenth of its accuracy class, ±{difference:${halfWidth}} (common practice, no source)`
        : `±{difference:${halfWidth}} over a dwell, stated for this gauge`,
  };
}

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

/** One normal distribution of a mixture, about the mixture's mean. */
export interface Part {
  readonly weight: number;
  readonly mean: number;
  readonly variance: number;
}

/** Two-sided coverage of every expanded uncertainty here. */
const coverage = 0.95;

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

/**
 * What the steps of the display leave uncertain in a fitted drop. Rounding is an error that repeats with every step of
 * the pressure; noise smooths it: its m-th harmonic has the amplitude d/(pi m) exp(-2 pi2 m2 (sd/d)2) (Widrow 1956).
 * What remains passes through the weights of a straight-line fit over N steps of fall. With half a step of noise
 * nothing is left, and rounding is then part of the scatter of the readings. It is never more than that of two
 * readings, d/sqrt 6, which also holds when the display never moved.
 * @param noisePa standard deviation of the noise between neighbouring readings as displayed
 * @example averagedResolutionU(1e4, 0, 0) // 4082: no noise, no fall
 * @example averagedResolutionU(1e4, 6e3, 5e4) // below 1
 */
export function averagedResolutionU(resolutionPa: number, noisePa: number, fallPa: number): number {
  if (!(resolutionPa > 0)) return 0;
  const steps = Math.max(0.5, Math.abs(fallPa) / resolutionPa);
  let squares = 0;
  roundingHarmonics(resolutionPa, noisePa).forEach((amplitude, i) => {
    for (const off of stepsUnsure) {
      const turns = (i + 1) * (steps + off);
      const k = 2 * Math.PI * turns;
      const passed = 12 * ((2 * sinOfTurns(turns / 2)) / square(k) - cosOfTurns(turns / 2) / k);
      squares += square(amplitude * passed) / 2 / stepsUnsure.length;
    }
  });
  return Math.min(dropResolutionU(resolutionPa), Math.sqrt(squares));
}

/** The steps of fall are known no better than this: what passes is averaged over these. */
const stepsUnsure = [-0.15, 0, 0.15] as const;

/** Amplitudes of the rounding error's harmonics, Pa, the fundamental first. */
function roundingHarmonics(resolutionPa: number, noisePa: number): number[] {
  const noise = Math.sqrt(Math.max(0, square(noisePa) - square(resolutionPa) / 12)) / resolutionPa;
  return Array.from({ length: 12 }, (_, i) => {
    const m = i + 1;
    return (resolutionPa / (Math.PI * m)) * exp(-2 * square(Math.PI * m * noise));
  });
}

/**
 * How much of the rounding noise leaves standing: the amplitude of its fundamental against that of a noiseless display.
 * @example undithered(1e4, 0) // 1
 * @example undithered(1e4, 5e3) // 0.02: half a step of noise smooths it
 */
export function undithered(resolutionPa: number, noisePa: number): number {
  if (!(resolutionPa > 0)) return 0;
  const noise = Math.sqrt(Math.max(0, square(noisePa) - square(resolutionPa) / 12)) / resolutionPa;
  return exp(-2 * square(Math.PI * noise));
}

/** The budget line of {@link averagedResolutionU}. */
export function resolutionLine(resolutionPa: number, noisePa: number, fallPa: number): BudgetLine {
  return {
    of: 'drop',
    name: 'resolution',
    u: averagedResolutionU(resolutionPa, noisePa, fallPa),
    degreesOfFreedom: null,
    distribution: 'rectangular',
    basis: `steps of {difference:${resolutionPa}} against noise of {difference:${noisePa}} (GUM F.2.2.1; averaging by Widrow 1956)`,
  };
}

/**
 * The value that a Student t variable stays below with the given probability.
 * @param probability between 0 and 1, both excluded
 * @param degreesOfFreedom greater than 0, need not be whole; Infinity gives the normal distribution
 * @example studentTQuantile(0.975, 10) // 2.228139
 */
export function studentTQuantile(probability: number, degreesOfFreedom: number): number {
  if (!(probability > 0 && probability < 1)) throw new Error(`probability ${probability} is not between 0 and 1`);
  if (!(degreesOfFreedom > 0)) throw new Error(`degrees of freedom ${degreesOfFreedom} must be positive`);
  if (probability === 0.5) return 0;
  if (probability < 0.5) return -studentTQuantile(1 - probability, degreesOfFreedom);
  const dof = Math.min(degreesOfFreedom, 1e8);
  let low = 0;
  let high = 2;
  while (studentTProbability(high, dof) < probability) {
    low = high;
    high *= 2;
  }
  for (let step = 0; step < 200 && high - low > 1e-13 * high; step++) {
    const middle = (low + high) / 2;
    if (studentTProbability(middle, dof) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * The probability that a Student t variable stays below `t`: 1 - I(v/(v + t2); v/2, 1/2)/2 for t > 0.
 * @example studentTProbability(2.228139, 10) // 0.975
 */
export function studentTProbability(t: number, degreesOfFreedom: number): number {
  const tail = incompleteBeta(degreesOfFreedom / (degreesOfFreedom + t * t), degreesOfFreedom / 2, 0.5) / 2;
  return t > 0 ? 1 - tail : tail;
}

/** Regularised incomplete beta function I(x; a, b), by its continued fraction (modified Lentz). */
function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const front = exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * log(x) + b * log1p(-x));
  if (x > (a + 1) / (a + b + 2)) return 1 - (front * betaFraction(1 - x, b, a)) / b;
  return (front * betaFraction(x, a, b)) / a;
}

function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  const away = (value: number): number => (Math.abs(value) < tiny ? tiny : value);
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m <= 100_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    fraction *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return fraction;
}

/** Natural logarithm of the gamma function: Stirling's series after moving the argument above 10. */
function logGamma(z: number): number {
  let shift = 0;
  let x = z;
  while (x < 10) {
    shift += log(x);
    x += 1;
  }
  const r = 1 / (x * x);
  const series = (1 / 12 - r * (1 / 360 - r * (1 / 1260 - r * (1 / 1680 - r * (1 / 1188 - r * (691 / 360360)))))) / x;
  return (x - 0.5) * log(x) - x + 0.5 * log(2 * Math.PI) + series - shift;
}

/** A combined uncertainty and what it takes to state it at 95 %. */
export interface Expanded {
  /** Combined standard uncertainty. */
  readonly u: number;
  readonly degreesOfFreedom: number;
  readonly coverageFactor: number;
  /** Expanded, 95 %. */
  readonly expandedU: number;
}

/** One contribution: a standard uncertainty and its degrees of freedom, null for a bound taken as exactly known. */
export type Contribution = Pick<BudgetLine, 'u' | 'degreesOfFreedom'>;

/**
 * Root sum of squares of independent contributions, with the effective degrees of freedom of Welch and Satterthwaite
 * (GUM G.4.1) and the coverage factor from Student's t.
 * @example expand([{ u: 3, degreesOfFreedom: null }, { u: 4, degreesOfFreedom: null }]).u // 5
 */
export function expand(contributions: readonly Contribution[]): Expanded {
  const u = Math.sqrt(contributions.reduce((sum, part) => sum + square(part.u), 0));
  let share = 0;
  for (const { u: part, degreesOfFreedom } of contributions)
    if (degreesOfFreedom !== null && part > 0) share += square(square(part / u)) / degreesOfFreedom;
  const degreesOfFreedom = share > 0 ? 1 / share : Number.POSITIVE_INFINITY;
  const coverageFactor = factorFor(degreesOfFreedom);
  return { u, degreesOfFreedom, coverageFactor, expandedU: coverageFactor * u };
}

const factorFor = (degreesOfFreedom: number): number => studentTQuantile((1 + coverage) / 2, degreesOfFreedom);
