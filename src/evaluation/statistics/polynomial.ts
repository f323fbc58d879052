import { log, square } from '../../units/index.js';
/** A smooth curve through noisy values: value and rate of change at any place. */
export interface SmoothCurve {
  /** 1 for a line. */
  readonly degree: number;
  value(x: number): number;
  rate(x: number): number;
}

/**
 * Weighted least-squares polynomial of the degree (1 to 3) that Schwarz's criterion picks. Orthogonal polynomials
 * made by Forsythe's recurrence (1957), so that no matrix is inverted.
 * @param effective how many independent values the points are worth, for the criterion
 */
export function smoothCurve(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  weight: ArrayLike<number>,
  effective: number,
): SmoothCurve {
  const n = x.length;
  const terms: { a: number; b: number; c: number }[] = [];
  let current = new Float64Array(n).fill(1);
  let before = new Float64Array(n);
  let normBefore = 1;
  const rest = Float64Array.from(y);
  let best = 1;
  let bestCriterion = Number.POSITIVE_INFINITY;
  for (let degree = 0; degree <= Math.min(3, n - 2); degree++) {
    let norm = 0;
    let xNorm = 0;
    let product = 0;
    for (let i = 0; i < n; i++) {
      const w = (weight[i] ?? 0) * (current[i] ?? 0);
      norm += w * (current[i] ?? 0);
      xNorm += w * (current[i] ?? 0) * (x[i] ?? 0);
      product += w * (rest[i] ?? 0);
    }
    if (!(norm > 0)) break;
    const term = { a: xNorm / norm, b: degree === 0 ? 0 : norm / normBefore, c: product / norm };
    terms.push(term);
    let residual = 0;
    const next = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      const value = current[i] ?? 0;
      rest[i] = (rest[i] ?? 0) - term.c * value;
      residual += (weight[i] ?? 0) * square(rest[i] ?? 0);
      next[i] = ((x[i] ?? 0) - term.a) * value - term.b * (before[i] ?? 0);
    }
    before = current;
    current = next;
    normBefore = norm;
    const criterion = effective * log(Math.max(residual, 1e-300)) + (degree + 1) * log(effective);
    if (degree >= 1 && criterion < bestCriterion) {
      bestCriterion = criterion;
      best = degree;
    }
  }
  const used = terms.slice(0, best + 1);
  const evaluate = (at: number): { value: number; rate: number } => {
    let [p, q, dp, dq] = [1, 0, 0, 0];
    let [value, rate] = [0, 0];
    for (const { a, b, c } of used) {
      value += c * p;
      rate += c * dp;
      [p, q, dp, dq] = [(at - a) * p - b * q, p, p + (at - a) * dp - b * dq, dp];
    }
    return { value, rate };
  };
  return { degree: best, value: (at) => evaluate(at).value, rate: (at) => evaluate(at).rate };
}
