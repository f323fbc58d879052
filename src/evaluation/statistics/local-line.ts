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
