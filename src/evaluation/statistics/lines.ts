/** A smooth curve through noisy values: value and rate of change at any place. */
export interface LocalLine {
  value(x: number): number;
  rate(x: number): number;
}

/**
 * At every place the weighted line through the points within a width, nearer ones counting more (local linear
 * regression, Cleveland 1979, with triangular weights). It follows any bend, and keeps its slope at both ends.
 * @param width reach to either side; it grows where fewer than three points lie within it
 */
export function localLine(x: Float64Array, y: Float64Array, weight: Float64Array, width: number): LocalLine {
  const lineAt = (at: number): { value: number; rate: number } => {
    for (let reach = width; ; reach *= 2) {
      let [n, sum, sumX, sumY] = [0, 0, 0, 0];
      const share = (i: number): number => (weight[i] ?? 0) * Math.max(0, 1 - Math.abs((x[i] ?? 0) - at) / reach);
      for (let i = 0; i < x.length; i++) {
        const w = share(i);
        if (!(w > 0)) continue;
        n++;
        sum += w;
        sumX += w * (x[i] ?? 0);
        sumY += w * (y[i] ?? 0);
      }
      if (n < Math.min(3, x.length)) continue;
      const [meanX, meanY] = [sumX / sum, sumY / sum];
      let [xx, xy] = [0, 0];
      for (let i = 0; i < x.length; i++) {
        const w = share(i) * ((x[i] ?? 0) - meanX);
        xx += w * ((x[i] ?? 0) - meanX);
        xy += w * ((y[i] ?? 0) - meanY);
      }
      const rate = xx > 0 ? xy / xx : 0;
      return { value: meanY + rate * (at - meanX), rate };
    }
  };
  return { value: (at) => lineAt(at).value, rate: (at) => lineAt(at).rate };
}

/** A robust line: half of the points may be wild before the slope follows them. */
export interface RobustLine {
  /** Median of the slopes of all pairs of points. */
  readonly slope: number;
  /** Median of y less slope times median of x. */
  readonly intercept: number;
  /**
   * Share of the pairs whose slope is exactly 0. Near or above a half the slope says nothing: a display with coarse
   * steps ties most pairs, and the median is then 0 whatever the pressure does.
   */
  readonly tied: number;
}

/**
 * Theil (1950) and Sen (1968): the median of the slopes of all pairs with different x. Needs n(n - 1)/2 numbers of
 * memory; meant for up to some two thousand points.
 * @throws Error when the arrays differ in length
 * @example theilSen([0, 1, 2, 3, 4], [0, 1, 2, 3, 90]).slope // 1
 */
export function theilSen(x: ArrayLike<number>, y: ArrayLike<number>): RobustLine {
  if (x.length !== y.length) throw new Error(`${x.length} abscissae and ${y.length} ordinates`);
  const n = x.length;
  const slopes = new Float64Array((n * (n - 1)) / 2);
  let count = 0;
  let zeros = 0;
  for (let i = 0; i < n; i++) {
    const xi = x[i] ?? 0;
    const yi = y[i] ?? 0;
    for (let j = i + 1; j < n; j++) {
      const dx = (x[j] ?? 0) - xi;
      if (dx === 0) continue;
      const slope = ((y[j] ?? 0) - yi) / dx;
      if (slope === 0) zeros++;
      slopes[count++] = slope;
    }
  }
  if (count === 0) return { slope: Number.NaN, intercept: Number.NaN, tied: 0 };
  const slope = median(slopes.subarray(0, count));
  return {
    slope,
    intercept: median(Float64Array.from(y)) - slope * median(Float64Array.from(x)),
    tied: zeros / count,
  };
}

/**
 * The median; the mean of the middle two for an even count. Reorders its argument.
 * @example median(Float64Array.of(3, 1, 2)) // 2
 */
export function median(values: Float64Array): number {
  const n = values.length;
  if (n === 0) return Number.NaN;
  const upper = n >> 1;
  const high = select(values, upper);
  if (n % 2 === 1) return high;
  let low = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < upper; i++) low = Math.max(low, values[i] ?? low);
  return (low + high) / 2;
}

/** The k-th smallest (0-based) by Hoare's selection, pivot the median of three; smaller values end up before it. */
function select(values: Float64Array, k: number): number {
  let left = 0;
  let right = values.length - 1;
  const at = (index: number): number => values[index] as number;
  while (left < right) {
    const [a, b, c] = [at(left), at((left + right) >> 1), at(right)];
    const pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    let i = left;
    let j = right;
    while (i <= j) {
      while (at(i) < pivot) i++;
      while (at(j) > pivot) j--;
      if (i <= j) {
        const held = at(i);
        values[i++] = at(j);
        values[j--] = held;
      }
    }
    if (k <= j) right = j;
    else if (k >= i) left = i;
    else break;
  }
  return at(k);
}
