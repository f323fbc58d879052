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
  readonly #y: Float64Array;
  readonly #logDeterminant: number;

  /** @param share variance of a point against the usual one, for points of fewer readings */
  constructor(t: Float64Array, y: Float64Array, share: Float64Array, scatter: Scatter) {
    this.#t = t;
    this.#n = t.length;
    this.#scatter = scatter;
    this.#factor = cholesky(covariance(t, share, scatter), this.#n);
    this.#y = this.whitened(y);
    let sum = 0;
    for (let i = 0; i < this.#n; i++) sum += log(this.#factor[i * this.#n + i] ?? 1);
    this.#logDeterminant = sum;
  }

  /** A column as if its points were independent with variance 1. */
  whitened(column: Float64Array): Float64Array {
    const n = this.#n;
    const factor = this.#factor;
    const out = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      let sum = column[i] as number;
      const row = i * n;
      for (let k = 0; k < i; k++) sum -= (factor[row + k] as number) * (out[k] as number);
      out[i] = sum / (factor[row + i] as number);
    }
    return out;
  }

  /** Fits terms whose columns were whitened by this regression. */
  fit(terms: readonly Term[], columns: readonly Float64Array[]): Fit {
    return new Fit(this, terms, columns, this.#y, this.#logDeterminant);
  }

  /** Covariance of the drifting part's change with each point, whitened, and its variance. */
  drift(fromS: number, toS: number): { readonly with: Float64Array; readonly variance: number } {
    const power = square(this.#scatter.bend);
    const column = this.#t.map((at) => power * (walk(toS, at) - walk(fromS, at)));
    const variance = power * (walk(toS, toS) + walk(fromS, fromS) - 2 * walk(fromS, toS));
    return { with: this.whitened(column), variance };
  }
}

/** One fit: sizes of the terms, how well it explains the points, and what follows for a change. */
export class Fit {
  readonly sizes: Float64Array;
  /** Logarithm of the evidence, up to a constant shared by fits of the same points with the same unknown terms. */
  readonly logEvidence: number;
  readonly #columns: readonly Float64Array[];
  readonly #rest: Float64Array;
  readonly #inverse: Float64Array;
  readonly #regression: Regression;

  constructor(
    regression: Regression,
    terms: readonly Term[],
    columns: readonly Float64Array[],
    y: Float64Array,
    logDeterminant: number,
  ) {
    const p = terms.length;
    const precision = terms.map(({ sd }) => (Number.isFinite(sd) ? 1 / square(sd) : 0));
    const gram = new Float64Array(p * p);
    const right = new Float64Array(p);
    let constant = dot(y, y);
    let priors = 0;
    terms.forEach(({ mean, sd }, i) => {
      const own = precision[i] ?? 0;
      for (let j = 0; j <= i; j++) {
        const value = dot(columns[i] as Float64Array, columns[j] as Float64Array);
        gram[i * p + j] = value;
        gram[j * p + i] = value;
      }
      gram[i * p + i] = (gram[i * p + i] ?? 0) + own;
      right[i] = dot(columns[i] as Float64Array, y) + own * mean;
      constant += own * square(mean);
      if (own > 0) priors -= log(sd);
    });
    const factor = cholesky(gram, p);
    this.#inverse = inverseOf(factor, p);
    this.sizes = new Float64Array(p);
    let explained = 0;
    let determinant = 0;
    for (let i = 0; i < p; i++) {
      let size = 0;
      for (let j = 0; j < p; j++) size += (this.#inverse[i * p + j] ?? 0) * (right[j] ?? 0);
      this.sizes[i] = size;
      explained += size * (right[i] ?? 0);
      determinant += log(factor[i * p + i] ?? 1);
    }
    this.logEvidence = -(constant - explained) / 2 - determinant - logDeterminant + priors;
    this.#columns = columns;
    this.#regression = regression;
    const rest = Float64Array.from(y);
    columns.forEach((column, j) => {
      const size = this.sizes[j] ?? 0;
      for (let i = 0; i < rest.length; i++) rest[i] = (rest[i] as number) - size * (column[i] as number);
    });
    this.#rest = rest;
  }

  /** The fall of the terms and of the drifting part together. `drift` is the regression's for the asked times. */
  answer(asked: Asked, drift = this.#regression.drift(asked.fromS, asked.toS)): Answer {
    const p = this.sizes.length;
    const lever = new Float64Array(p);
    let mean = -dot(drift.with, this.#rest);
    for (let j = 0; j < p; j++) {
      const share = asked.terms[j] ?? 0;
      mean += share * (this.sizes[j] ?? 0);
      lever[j] = share + dot(this.#columns[j] as Float64Array, drift.with);
    }
    let variance = drift.variance - dot(drift.with, drift.with);
    for (let i = 0; i < p; i++)
      for (let j = 0; j < p; j++) variance += (lever[i] ?? 0) * (this.#inverse[i * p + j] ?? 0) * (lever[j] ?? 0);
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

function inverseOf(factor: Float64Array, n: number): Float64Array {
  const inverse = new Float64Array(n * n);
  const column = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      let sum = i === j ? 1 : 0;
      for (let k = 0; k < i; k++) sum -= (factor[i * n + k] ?? 0) * (column[k] ?? 0);
      column[i] = sum / (factor[i * n + i] ?? 1);
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = column[i] ?? 0;
      for (let k = i + 1; k < n; k++) sum -= (factor[k * n + i] ?? 0) * (column[k] ?? 0);
      column[i] = sum / (factor[i * n + i] ?? 1);
      inverse[i * n + j] = column[i] ?? 0;
    }
  }
  return inverse;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
}
