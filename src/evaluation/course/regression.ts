import { exp, log, square } from '../../units/index.js';

/** What a course may be made of: a term whose size is not known, with what is known of the size beforehand. */
export interface Term {
  /** The term at each point for a size of 1. */
  readonly values: Float64Array;
  /** The size known beforehand (normal), and its standard deviation; Infinity where nothing is known. */
  readonly mean: number;
  readonly sd: number;
}

/** What the points have in common beside the terms: independent scatter, slow wander, and a rate that drifts. */
export interface Scatter {
  /** Standard deviation of one point, Pa. */
  readonly pointPa: number;
  /** Wander of the gauge: standard deviation, Pa, and its correlation time, s (Ornstein and Uhlenbeck 1930). */
  readonly wanderPa: number;
  readonly wanderS: number;
  /** Drift of the rate of fall: an integrated random walk (Wahba 1978), Pa s^-1.5. */
  readonly bend: number;
}

/** A change of the course that is asked for: of the terms, and of the drifting part, between two times. */
export interface Asked {
  readonly terms: Float64Array;
  readonly fromS: number;
  readonly toS: number;
}

export interface Answer {
  readonly mean: number;
  readonly variance: number;
}

/**
 * Points y = terms x sizes + scatter, taken by generalised least squares with normal priors (Rasmussen and Williams
 * 2006, chapter 2). The factor of the covariance is made once; terms may then be exchanged cheaply.
 */
export class Regression {
  readonly #t: Float64Array;
  readonly #scatter: Scatter;
  readonly #factor: Float64Array;
  readonly #n: number;
  /** The points as if they were independent with variance 1, the sum of their squares, and what that took. */
  readonly y: Float64Array;
  readonly squares: number;
  readonly logDeterminant: number;

  /** @param share variance of a point against the usual one, for points of fewer readings */
  constructor(t: Float64Array, y: Float64Array, share: Float64Array, scatter: Scatter) {
    this.#t = t;
    this.#n = t.length;
    this.#scatter = scatter;
    this.#factor = cholesky(covariance(t, share, scatter), this.#n);
    this.y = this.whitened(y);
    this.squares = dot(this.y, this.y);
    let sum = 0;
    for (let i = 0; i < this.#n; i++) sum += log(this.#factor[i * this.#n + i] ?? 1);
    this.logDeterminant = sum;
  }

  /** A column as if its points were independent with variance 1. */
  whitened(column: Float64Array): Float64Array {
    return forward(this.#factor, column, this.#n);
  }

  /** Fits terms whose columns were whitened by this regression. */
  fit(terms: readonly Term[], columns: readonly Float64Array[]): Fit {
    return new Fit(this, terms, columns);
  }

  /** Covariance of the drifting part's change with each point, whitened, and its variance. */
  drift(fromS: number, toS: number): { readonly with: Float64Array; readonly variance: number } {
    const power = square(this.#scatter.bend);
    const column = this.#t.map((at) => power * (walk(toS, at) - walk(fromS, at)));
    const variance = power * (walk(toS, toS) + walk(fromS, fromS) - 2 * walk(fromS, toS));
    return { with: this.whitened(column), variance };
  }
}

interface Worked {
  readonly sizes: Float64Array;
  readonly inverse: Float64Array;
  /** The points less all terms. */
  readonly rest: Float64Array;
}

/** One fit: how well it explains the points; sizes of the terms and what follows for a change are worked out when asked. */
export class Fit {
  /** Logarithm of the evidence, up to a constant shared by fits of the same points with the same unknown terms. */
  readonly logEvidence: number;
  readonly #columns: readonly Float64Array[];
  readonly #regression: Regression;
  /** Factor of the normal equations, and their right side behind it. */
  readonly #factor: Float64Array;
  readonly #solved: Float64Array;
  #worked: Worked | null = null;

  constructor(regression: Regression, terms: readonly Term[], columns: readonly Float64Array[]) {
    const { y } = regression;
    const p = terms.length;
    const gram = new Float64Array(p * p);
    const right = new Float64Array(p);
    let constant = regression.squares;
    let priors = 0;
    for (let i = 0; i < p; i++) {
      const { mean, sd } = terms[i] as Term;
      const column = columns[i] as Float64Array;
      const own = Number.isFinite(sd) ? 1 / square(sd) : 0;
      for (let j = 0; j <= i; j++) gram[i * p + j] = dot(column, columns[j] as Float64Array);
      gram[i * p + i] = (gram[i * p + i] as number) + own;
      right[i] = dot(column, y) + own * mean;
      constant += own * square(mean);
      if (own > 0) priors -= log(sd);
    }
    const factor = cholesky(gram, p);
    const solved = forward(factor, right, p);
    let determinant = 0;
    for (let i = 0; i < p; i++) determinant += log(factor[i * p + i] as number);
    this.logEvidence = -(constant - dot(solved, solved)) / 2 - determinant - regression.logDeterminant + priors;
    this.#columns = columns;
    this.#regression = regression;
    this.#factor = factor;
    this.#solved = solved;
  }

  get sizes(): Float64Array {
    return this.#workOut().sizes;
  }

  #workOut(): Worked {
    if (this.#worked) return this.#worked;
    const p = this.#solved.length;
    const sizes = backward(this.#factor, this.#solved, p);
    const rest = Float64Array.from(this.#regression.y);
    this.#columns.forEach((column, j) => {
      const size = sizes[j] as number;
      for (let i = 0; i < rest.length; i++) rest[i] = (rest[i] as number) - size * (column[i] as number);
    });
    this.#worked = { sizes, inverse: inverseOf(this.#factor, p), rest };
    return this.#worked;
  }

  /** The fall of the terms and of the drifting part together. `drift` is the regression's for the asked times. */
  answer(asked: Asked, drift = this.#regression.drift(asked.fromS, asked.toS)): Answer {
    const { sizes, inverse, rest } = this.#workOut();
    const p = sizes.length;
    const lever = new Float64Array(p);
    const drifts = drift.variance > 0;
    let mean = drifts ? -dot(drift.with, rest) : 0;
    for (let j = 0; j < p; j++) {
      const share = asked.terms[j] as number;
      mean += share * (sizes[j] as number);
      lever[j] = drifts ? share + dot(this.#columns[j] as Float64Array, drift.with) : share;
    }
    let variance = drifts ? drift.variance - dot(drift.with, drift.with) : 0;
    for (let i = 0; i < p; i++)
      for (let j = 0; j < p; j++)
        variance += (lever[i] as number) * (inverse[i * p + j] as number) * (lever[j] as number);
    return { mean, variance: Math.max(0, variance) };
  }
}

/** Covariance of an integrated random walk that starts level at 0. */
function walk(a: number, b: number): number {
  const short = Math.max(0, Math.min(a, b));
  const long = Math.max(0, Math.max(a, b));
  return (short * short * (3 * long - short)) / 6;
}

function covariance(t: Float64Array, share: Float64Array, scatter: Scatter): Float64Array {
  const { pointPa, wanderPa, wanderS, bend } = scatter;
  const n = t.length;
  const matrix = new Float64Array(n * n);
  const decay = wanderPa > 0 ? decays(t, wanderS) : null;
  for (let i = 0; i < n; i++) {
    let alike = square(wanderPa);
    for (let j = i; j >= 0; j--) {
      const drift = bend > 0 ? square(bend) * walk(t[i] ?? 0, t[j] ?? 0) : 0;
      matrix[i * n + j] = drift + alike;
      if (decay) alike *= decay[j] ?? 0;
    }
    matrix[i * n + i] = (matrix[i * n + i] ?? 0) + square(pointPa) * (share[i] ?? 1);
  }
  return matrix;
}

/** By how much a wander is forgotten from the point before to each one. */
function decays(t: Float64Array, wanderS: number): Float64Array {
  return t.map((at, i) => (i === 0 ? 0 : exp(-(at - (t[i - 1] ?? 0)) / wanderS)));
}

/** Lower factor of a symmetric matrix of which the lower half is given. */
function cholesky(matrix: Float64Array, n: number): Float64Array {
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j] as number;
      for (let k = 0; k < j; k++) sum -= (factor[i * n + k] as number) * (factor[j * n + k] as number);
      if (i === j) factor[i * n + i] = Math.sqrt(Math.max(sum, 1e-12 * Math.abs(matrix[i * n + i] as number), 1e-300));
      else factor[i * n + j] = sum / (factor[j * n + j] as number);
    }
  return factor;
}

/** L x = b for a lower triangle. */
function forward(factor: Float64Array, b: Float64Array, n: number): Float64Array {
  const x = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let sum = b[i] as number;
    const row = i * n;
    for (let k = 0; k < i; k++) sum -= (factor[row + k] as number) * (x[k] as number);
    x[i] = sum / (factor[row + i] as number);
  }
  return x;
}

/** L' x = b. */
function backward(factor: Float64Array, b: Float64Array, n: number): Float64Array {
  const x = new Float64Array(n);
  for (let i = n - 1; i >= 0; i--) {
    let sum = b[i] as number;
    for (let k = i + 1; k < n; k++) sum -= (factor[k * n + i] as number) * (x[k] as number);
    x[i] = sum / (factor[i * n + i] as number);
  }
  return x;
}

function inverseOf(factor: Float64Array, n: number): Float64Array {
  const inverse = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    const unit = new Float64Array(n);
    unit[j] = 1;
    backward(factor, forward(factor, unit, n), n).forEach((value, i) => {
      inverse[i * n + j] = value;
    });
  }
  return inverse;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
}
