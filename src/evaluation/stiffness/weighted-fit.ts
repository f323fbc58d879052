import { square } from '../../units/index.js';
/** Coefficients of a weighted least-squares fit with their covariance, widened when the scatter is larger than assumed. */
export interface WeightedFit {
  readonly values: readonly number[];
  readonly u: readonly number[];
  /** Root mean square of what is left of y. */
  readonly rest: number;
}

/**
 * Weighted least squares on a few terms, by Cholesky's factors of the normal equations with columns scaled to one.
 * @param rows the terms at each point
 * @param u standard uncertainty of each y
 * @returns null with fewer points than terms + 2, or when the terms cannot be told apart
 */
export function weightedFit(
  rows: readonly (readonly number[])[],
  y: readonly number[],
  u: readonly number[],
): WeightedFit | null {
  const terms = rows[0]?.length ?? 0;
  if (terms === 0 || rows.length < terms + 2) return null;
  const scale = Array.from({ length: terms }, (_, j) =>
    Math.sqrt(rows.reduce((sum, row, i) => sum + square((row[j] ?? 0) / (u[i] ?? 1)), 0)),
  );
  if (scale.some((value) => !(value > 0))) return null;
  const normal = scale.map((sj, j) =>
    scale.map((sk, k) =>
      rows.reduce((sum, row, i) => sum + ((row[j] ?? 0) * (row[k] ?? 0)) / (sj * sk * square(u[i] ?? 1)), 0),
    ),
  );
  const right = scale.map((sj, j) =>
    rows.reduce((sum, row, i) => sum + ((row[j] ?? 0) * (y[i] ?? 0)) / (sj * square(u[i] ?? 1)), 0),
  );
  const inverse = inverted(normal);
  if (!inverse) return null;
  const values = inverse.map((row, j) => row.reduce((sum, v, k) => sum + v * (right[k] ?? 0), 0) / (scale[j] ?? 1));
  const residuals = rows.map((row, i) => {
    const fitted = row.reduce((part, term, j) => part + term * (values[j] ?? 0), 0);
    return ((y[i] ?? 0) - fitted) / (u[i] ?? 1);
  });
  const widened = widening(residuals, terms);
  const rest = Math.sqrt(residuals.reduce((sum, r, i) => sum + square(r * (u[i] ?? 1)), 0) / rows.length);
  return {
    values,
    rest,
    u: inverse.map((row, j) => (widened * Math.sqrt(Math.max(0, row[j] ?? 0))) / (scale[j] ?? 1)),
  };
}

/** By how much the scatter exceeds what was assumed; more when neighbours scatter alike (strokes of a booster). */
function widening(residuals: readonly number[], terms: number): number {
  let [squares, products] = [0, 0];
  for (const [i, residual] of residuals.entries()) {
    squares += residual * residual;
    products += residual * (residuals[i - 1] ?? 0);
  }
  const scatter = Math.sqrt(squares / (residuals.length - terms));
  if (scatter <= 1) return 1;
  const alike = Math.min(0.98, Math.max(0, products / squares));
  return Math.max(1, scatter * Math.sqrt((1 + alike) / (1 - alike)));
}

/** Inverse of a positive definite matrix whose diagonal is one, by elimination; null when it is nearly singular. */
function inverted(matrix: readonly (readonly number[])[]): number[][] | null {
  const size = matrix.length;
  const work = matrix.map((row, i) => [...row, ...Array.from({ length: size }, (_, j) => (i === j ? 1 : 0))]);
  for (let i = 0; i < size; i++) {
    const pivotRow = work[i];
    const pivot = pivotRow?.[i] ?? 0;
    if (!pivotRow || !(pivot > 1e-10)) return null;
    for (let k = 0; k < 2 * size; k++) pivotRow[k] = (pivotRow[k] ?? 0) / pivot;
    for (let j = 0; j < size; j++) {
      const row = work[j];
      const factor = row?.[i] ?? 0;
      if (!row || j === i || factor === 0) continue;
      for (let k = 0; k < 2 * size; k++) row[k] = (row[k] ?? 0) - factor * (pivotRow[k] ?? 0);
    }
  }
  return work.map((row) => row.slice(size));
}
