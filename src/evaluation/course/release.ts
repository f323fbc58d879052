import type { Blocks } from '../trace/block-means.js';
import { cellsOf } from './cells.js';

/** The pressure is let go within this long before it is gone, s. */
const longestS = 240;

/** A fall this share as fast as the fastest of the last minutes belongs to the release. */
const share = 0.25;

/**
 * When the pressure was let go, s: going back from the end as long as it falls about as fast as at its fastest. Only
 * for a trace whose end is the release; a slow leak before it falls far more slowly and stays in the hold.
 * @param leastPaPerS slower than this is no release but a gross leak, Pa/s
 */
export function releaseS(blocks: Blocks, leastPaPerS: number): number {
  const endS = blocks.timeS[blocks.length - 1] ?? 0;
  const { t, y } = cellsOf(blocks, Math.max(0, endS - longestS), endS, longestS);
  const rate = (i: number): number => ((y[i - 1] ?? 0) - (y[i] ?? 0)) / Math.max(1e-6, (t[i] ?? 0) - (t[i - 1] ?? 0));
  let fastest = 0;
  for (let i = 1; i < t.length; i++) fastest = Math.max(fastest, rate(i));
  if (fastest < leastPaPerS) return endS;
  let at = t.length - 1;
  while (at > 0 && (rate(at) >= share * fastest || (at > 1 && rate(at - 1) >= share * fastest))) at--;
  return Math.max(0, t[Math.max(0, at - 1)] ?? 0);
}
