import { gathered, type Series } from './series.js';

/** The dwell in so many parts: a mean over each keeps noise from looking like a rise. */
const parts = 20;

/**
 * How far the pressure rose again above the lowest it had been, Pa: the greatest rise from a running minimum, over
 * means of a twentieth of the dwell. A trapped volume that only leaks never rises; what does was fed or warmed.
 * @example a fall of 4 bar, a rise of 7 and a fall of 5: 7e5
 */
export function drawUpPa(series: Series): number {
  let lowest = Number.POSITIVE_INFINITY;
  let greatest = 0;
  for (const y of gathered(series, parts).y) {
    lowest = Math.min(lowest, y);
    greatest = Math.max(greatest, y - lowest);
  }
  return greatest;
}
