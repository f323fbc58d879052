import type { Hold, TraceColumns } from './trace-story.js';

/** A point of a dwell's fit, with half the width of its 95 % band there. */
export interface FitPoint {
  readonly timeUs: number;
  readonly pa: number;
  readonly halfWidthPa: number;
}

/** The fit of a dwell at its start, its centre and its end; nothing without a fit. */
export function fitLine(trace: TraceColumns, hold: Hold): readonly FitPoint[] {
  const centre = centroid(trace, hold);
  const { fallPaPerS, fallUPaPerS } = hold;
  if (fallPaPerS === null || centre === null) return [];
  return [hold.fromUs, centre.timeUs, hold.toUs].map((timeUs) => {
    const seconds = (timeUs - centre.timeUs) / 1e6;
    return { timeUs, pa: centre.pa - fallPaPerS * seconds, halfWidthPa: fallUPaPerS * Math.abs(seconds) };
  });
}

/** A line of least squares goes through the centre of its readings. */
function centroid(trace: TraceColumns, hold: Hold): { readonly timeUs: number; readonly pa: number } | null {
  let [count, time, pressure] = [0, 0, 0];
  for (let index = 0; index < trace.timeUs.length; index++) {
    const us = trace.timeUs[index] ?? 0;
    const pa = trace.pressurePa[index] ?? Number.NaN;
    if (us < hold.fromUs || us > hold.toUs || Number.isNaN(pa)) continue;
    count += 1;
    time += us - hold.fromUs;
    pressure += pa - hold.targetPa;
  }
  return count === 0 ? null : { timeUs: hold.fromUs + time / count, pa: hold.targetPa + pressure / count };
}
