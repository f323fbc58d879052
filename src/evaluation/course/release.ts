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
  return at === t.length - 1 ? endS : Math.max(0, t[Math.max(0, at - 1)] ?? 0);
}
