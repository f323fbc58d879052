import type { Blocks } from '../trace/block-means.js';

/** A stretch of a course as a few points, evenly spaced in time. */
export interface Cells {
  /** Mean time, s from the start of the trace. */
  readonly t: Float64Array;
  /** Mean pressure, Pa, less the trace's reference. */
  readonly y: Float64Array;
  readonly count: Float64Array;
  /** Mean oil temperature, K, less the trace's reference; NaN where none was read. */
  readonly oil: Float64Array;
}

/** Gathers blocks between two times into cells of equal duration; empty ones are left out. */
export function cellsOf(blocks: Blocks, fromS: number, toS: number, most: number): Cells {
  const span = Math.max(1e-9, toS - fromS) / most;
  const sums = Array.from({ length: most }, () => ({ n: 0, t: 0, y: 0, oilN: 0, oil: 0 }));
  for (let i = 0; i < blocks.length; i++) {
    const at = blocks.timeS[i] ?? 0;
    if (at < fromS || at > toS) continue;
    const sum = sums[Math.min(most - 1, Math.floor((at - fromS) / span))];
    const n = blocks.count[i] ?? 0;
    if (!sum || !(n > 0)) continue;
    sum.n += n;
    sum.t += n * at;
    sum.y += n * (blocks.pressure[i] ?? 0);
    const oil = blocks.oil[i] ?? Number.NaN;
    if (Number.isNaN(oil)) continue;
    sum.oilN += n;
    sum.oil += n * oil;
  }
  const filled = sums.filter(({ n }) => n > 0);
  return {
    t: Float64Array.from(filled, ({ t, n }) => t / n),
    y: Float64Array.from(filled, ({ y, n }) => y / n),
    count: Float64Array.from(filled, ({ n }) => n),
    oil: Float64Array.from(filled, ({ oil, oilN }) => (oilN > 0 ? oil / oilN : Number.NaN)),
  };
}
