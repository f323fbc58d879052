import { cube, log, square } from '../../units/index.js';
/** How a slope's variance grows when neighbouring residuals resemble each other. */
export interface CorrelatedNoise {
  /** Variance of the residuals, corrected for what the fit took away. */
  readonly variance: number;
  /** Factor on the slope's variance against independent noise; at least 1. */
  readonly slopeFactor: number;
  /** Correlation of neighbouring residuals. */
  readonly lagOne: number;
  /** Order of the autoregression chosen; 0 is white noise. */
  readonly order: number;
  /** Degrees of freedom of variance x factor. */
  readonly degreesOfFreedom: number;
}

/** Order of the longest autoregression tried. */
export const greatestOrder = 6;

/** At most this share of the residuals' variance may be taken away as known. */
const knownShare = 0.98;

/**
 * The noise behind the residuals of a fit, taken as an autoregression whose order Akaike's corrected criterion picks
 * (Berk 1974: autoregressive estimate of the spectrum at zero). The autocovariances are first freed from what
 * detrending took out: `fitted` parameters lower each by about fitted x long-run variance / n. The factor weighs
 * each lag k by 1 - 3k/n + 2(k/n)^3, the overlap of a slope's weights with themselves; for a first-order process and a
 * long trace it is the usual (1 + r)/(1 - r) (Bayley and Hammersley 1946).
 * @param residuals evenly spaced, in order
 * @param fitted how many parameters the fit had
 * @param known autocovariances, from lag 0, of what is no noise and is accounted for elsewhere
 * @example correlatedNoise([1, -1, 1, -1, 1, -1], 2).slopeFactor // 1: never below that of independent noise
 */
export function correlatedNoise(
  residuals: ArrayLike<number>,
  fitted: number,
  known: readonly number[] = [],
): CorrelatedNoise {
  const n = residuals.length;
  const freedom = Math.max(1, n - fitted);
  const raw = without(known, autocovariances(residuals, Math.min(greatestOrder, Math.floor(n / 8))));
  const white = (raw[0] ?? 0) * (n / freedom);
  if (white === 0 || raw.length < 2)
    return { variance: white, slopeFactor: 1, lagOne: 0, order: 0, degreesOfFreedom: freedom };
  let longRun = white;
  let best = { order: 0, weights: [] as number[], innovation: white };
  let gamma = raw;
  for (let round = 0; round < 8; round++) {
    const lift = (fitted * longRun) / n;
    gamma = raw.map((value, lag) => value * (n / (n - lag)) + lift);
    best = chooseOrder(gamma, n);
    const gain = 1 - sum(best.weights);
    const next = Math.min(best.innovation / square(gain), (white * n) / (4 * fitted));
    if (Math.abs(next - longRun) < 1e-6 * longRun) break;
    longRun = next;
  }
  const variance = gamma[0] ?? white;
  if (best.order === 0)
    return { variance: white, slopeFactor: 1, lagOne: lagOneOf(gamma), order: 0, degreesOfFreedom: freedom };
  const factor = slopeFactor(gamma, best.weights, n);
  const gain = 1 - sum(best.weights);
  const spread = 2 / n + (4 * (sumOfInverse(gamma, best.order) * best.innovation)) / (n * square(gain));
  return {
    variance,
    slopeFactor: Math.max(1, factor),
    lagOne: lagOneOf(gamma),
    order: best.order,
    degreesOfFreedom: Math.max(1, 2 / spread - fitted / 2),
  };
}

const lagOneOf = (gamma: readonly number[]): number => (gamma[1] ?? 0) / (gamma[0] ?? 1);
const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

function without(known: readonly number[], found: number[]): number[] {
  const share = Math.min(1, (knownShare * (found[0] ?? 0)) / (known[0] || Number.POSITIVE_INFINITY));
  return found.map((value, lag) => value - share * (known[lag] ?? 0));
}

function autocovariances(residuals: ArrayLike<number>, lags: number): number[] {
  const n = residuals.length;
  return Array.from({ length: lags + 1 }, (_, lag) => {
    let total = 0;
    for (let i = lag; i < n; i++) total += (residuals[i] ?? 0) * (residuals[i - lag] ?? 0);
    return total / n;
  });
}

/** Levinson and Durbin's recursion; the order with the least corrected criterion of Akaike. */
function chooseOrder(gamma: readonly number[], n: number): { order: number; weights: number[]; innovation: number } {
  let weights: number[] = [];
  let innovation = gamma[0] ?? 0;
  let best = { order: 0, weights, innovation };
  let bestCriterion = n * log(innovation) + 2;
  for (let order = 1; order < gamma.length; order++) {
    let reflection = gamma[order] ?? 0;
    for (let i = 0; i < order - 1; i++) reflection -= (weights[i] ?? 0) * (gamma[order - 1 - i] ?? 0);
    reflection /= innovation;
    if (!(Math.abs(reflection) < 0.9999)) break;
    const previous = weights;
    weights = previous.map((weight, i) => weight - reflection * (previous[order - 2 - i] ?? 0));
    weights.push(reflection);
    innovation *= 1 - reflection * reflection;
    const parameters = order + 1;
    const criterion = n * log(innovation) + (2 * parameters * n) / Math.max(1, n - parameters - 1);
    if (criterion < bestCriterion) {
      bestCriterion = criterion;
      best = { order, weights, innovation };
    }
  }
  return best;
}

function slopeFactor(gamma: readonly number[], weights: readonly number[], n: number): number {
  const variance = gamma[0] ?? 1;
  const recent = gamma.slice(0, weights.length + 1).map((value) => value / variance);
  let factor = 1;
  const past = recent.slice(1).reverse();
  for (let lag = 1; lag < n; lag++) {
    let correlation = recent[lag] ?? 0;
    if (lag > weights.length) {
      correlation = 0;
      for (let i = 0; i < weights.length; i++) correlation += (weights[i] ?? 0) * (past[i] ?? 0);
      past.pop();
      past.unshift(correlation);
      if (past.every((value) => Math.abs(value) < 1e-6)) break;
    }
    const apart = lag / n;
    factor += 2 * correlation * (1 - 3 * apart + 2 * cube(apart));
  }
  return factor;
}

/** Sum of all elements of the inverse of the Toeplitz matrix of the first `order` autocovariances. */
function sumOfInverse(gamma: readonly number[], order: number): number {
  const rows = Array.from({ length: order }, (_, i) => [
    ...Array.from({ length: order }, (_, j) => gamma[Math.abs(i - j)] ?? 0),
    1,
  ]);
  for (let pivot = 0; pivot < order; pivot++) {
    const pivotRow = rows[pivot] ?? [];
    const head = pivotRow[pivot] ?? 1;
    for (let i = 0; i < order; i++) {
      const row = rows[i] ?? [];
      if (i === pivot) continue;
      const ratio = (row[pivot] ?? 0) / head;
      for (let j = pivot; j <= order; j++) row[j] = (row[j] ?? 0) - ratio * (pivotRow[j] ?? 0);
    }
  }
  return sum(rows.map((row, i) => (row[order] ?? 0) / (row[i] ?? 1)));
}
