import { median } from '../statistics/lines.js';
import type { Blocks } from '../trace/block-means.js';
import { cellsOf } from './cells.js';

/** Rates are taken over so many seconds. */
const spanS = 2;

/**
 * When the pressure was let go, s: going back from the end as long as it falls clearly faster than a hold does. Only for
 * a trace whose end is the release, and whatever fell as fast before it, without a rest, belongs to it.
 * @param fasterPaPerS a fall as fast as this is no hold's any more, Pa/s
 */
export function releaseS(blocks: Blocks, fasterPaPerS: number): number {
  const endS = blocks.timeS[blocks.length - 1] ?? 0;
  const { t, y } = cellsOf(blocks, 0, endS, Math.max(1, Math.ceil(endS / spanS)));
  const falls = (i: number): boolean => (y[i - 1] ?? 0) - (y[i] ?? 0) >= fasterPaPerS * ((t[i] ?? 0) - (t[i - 1] ?? 0));
  let at = t.length - 1;
  while (at > 0 && (falls(at) || (at > 1 && falls(at - 1)))) at--;
  return at < t.length - 1 ? Math.max(0, t[Math.max(0, at - 1)] ?? 0) : beforeLast(blocks, endS, fasterPaPerS * spanS);
}

/**
 * When a release began that falls by at least so much a second, s, to the reading; for one that begins before the
 * demanded time is over and ends after it.
 */
export function letGoFrom(blocks: Blocks, fasterPaPerS: number): number {
  const heldS = releaseS(blocks, fasterPaPerS);
  const { length, timeS, pressure } = blocks;
  let at = length - 1;
  while (at > 0 && (timeS[at - 1] ?? 0) >= heldS) at--;
  const levelPa = pressure[at] ?? 0;
  while (at < length && (pressure[at] ?? 0) > levelPa - fasterPaPerS / 2) at++;
  return at < length ? (timeS[Math.max(0, at - 1)] ?? 0) : Number.POSITIVE_INFINITY;
}

/** A release of which only the first readings are there: not enough to lower the mean of a span. */
function beforeLast({ length, timeS, pressure }: Blocks, endS: number, fallPa: number): number {
  let from = length;
  while (from > 0 && (timeS[from - 1] ?? 0) >= endS - spanS) from--;
  const usual = median(Float64Array.from(pressure.subarray(from, length)));
  let last = length - 1;
  while (last > 0 && (pressure[last] ?? 0) < usual - fallPa) last--;
  return timeS[last] ?? endS;
}
