/** Points in the order of time, each worth `weight` readings. Times in s from the start of the dwell. */
export interface Series {
  readonly t: Float64Array;
  readonly y: Float64Array;
  readonly weight: Float64Array;
}

/** Weighted straight line through a series. */
export interface SeriesLine {
  readonly meanT: number;
  readonly meanY: number;
  readonly slope: number;
  /** Weighted sum of squared times about their mean. */
  readonly stt: number;
}

export function lineThrough(series: Series): SeriesLine {
  const { t, y, weight } = series;
  let [total, meanT, meanY] = [0, 0, 0];
  for (let i = 0; i < t.length; i++) {
    total += weight[i] ?? 0;
    meanT += (weight[i] ?? 0) * (t[i] ?? 0);
    meanY += (weight[i] ?? 0) * (y[i] ?? 0);
  }
  meanT /= total;
  meanY /= total;
  let [stt, sty] = [0, 0];
  for (let i = 0; i < t.length; i++) {
    const w = (weight[i] ?? 0) * ((t[i] ?? 0) - meanT);
    stt += w * ((t[i] ?? 0) - meanT);
    sty += w * ((y[i] ?? 0) - meanY);
  }
  return { meanT, meanY, stt, slope: stt > 0 ? sty / stt : 0 };
}

/** What is left of the series above its line. */
export function aboveLine(series: Series, line: SeriesLine): Float64Array {
  return series.y.map((y, i) => y - line.meanY - line.slope * ((series.t[i] ?? 0) - line.meanT));
}

/** Neighbours gathered into at most `cells` points of about equal weight. */
export function gathered(series: Series, cells: number): Series {
  const { t, y, weight } = series;
  if (t.length <= cells) return series;
  const each = Math.ceil(t.length / cells);
  const length = Math.ceil(t.length / each);
  const out = { t: new Float64Array(length), y: new Float64Array(length), weight: new Float64Array(length) };
  for (let cell = 0; cell < length; cell++) {
    let [w, wt, wy] = [0, 0, 0];
    for (let i = cell * each; i < Math.min(t.length, (cell + 1) * each); i++) {
      w += weight[i] ?? 0;
      wt += (weight[i] ?? 0) * (t[i] ?? 0);
      wy += (weight[i] ?? 0) * (y[i] ?? 0);
    }
    out.weight[cell] = w;
    out.t[cell] = wt / w;
    out.y[cell] = wy / w;
  }
  return out;
}
