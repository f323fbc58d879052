import type { Cells } from './cells.js';

/** How a leak follows the pressure that drives it. */
export interface LeakLaw {
  /** Loss up to a time, in seconds of the loss at the first level. */
  secondsAt(timeS: number): number;
}

/** The rate does not change with the pressure. */
export const steadily: LeakLaw = { secondsAt: (timeS) => timeS };

/** A fall by less than this share of the level changes the rate of no leak enough to matter. */
const changes = 0.02;

/**
 * Flow goes with the power 0, 1/2 or 1 of the pressure: kept up by something else, through an orifice, through a narrow
 * gap (Merritt 1967, 3-4 and 3-7). Each is as likely beforehand; with a small fall they are one.
 * @param referencePa what the points are less than the pressure
 */
export function leakLaws({ t, y }: Cells, referencePa: number): readonly LeakLaw[] {
  const level = (i: number): number => Math.max(0, referencePa + (y[i] ?? 0));
  const first = level(0);
  if (Math.abs(first - level(t.length - 1)) < changes * first) return [steadily];
  return [steadily, byRate(t, (i) => Math.sqrt(level(i) / first)), byRate(t, (i) => level(i) / first)];
}

/** Rates at the points, against the first; straight lines between them. */
function byRate(t: Float64Array, rateAt: (i: number) => number): LeakLaw {
  const rate = Float64Array.from(t, (_, i) => rateAt(i));
  const sums = new Float64Array(t.length);
  sums[0] = t[0] ?? 0;
  for (let i = 1; i < t.length; i++)
    sums[i] = (sums[i - 1] ?? 0) + (((rate[i - 1] ?? 0) + (rate[i] ?? 0)) / 2) * ((t[i] ?? 0) - (t[i - 1] ?? 0));
  return {
    secondsAt(timeS) {
      let i = 0;
      while (i < t.length - 1 && (t[i + 1] ?? 0) <= timeS) i++;
      const [from, to] = [t[i] ?? 0, t[i + 1] ?? Number.POSITIVE_INFINITY];
      const [a, b] = [rate[i] ?? 0, rate[i + 1] ?? rate[i] ?? 0];
      const after = timeS - from;
      const at = a + (after > 0 && Number.isFinite(to) ? ((b - a) * after) / (2 * (to - from)) : 0);
      return (sums[i] ?? 0) + at * after;
    },
  };
}
