import type { Bound, Cell, Count } from './cells.js';
import type { Trial } from './trial.js';

/** How many of those that it concerns a count found. */
export interface Counted {
  readonly found: number;
  readonly of: number;
}

/** What is counted, or null where a hold is none of its business. */
function counts(count: Count, t: Trial): boolean | null {
  switch (count) {
    case 'pass':
    case 'fail':
      return t.verdict === count;
    case 'pass at a loss of the limit or more':
      return t.trueShare >= 1 ? t.verdict === 'pass' : null;
    case 'fail at a loss of the limit or less':
      return t.trueShare <= 1 ? t.verdict === 'fail' : null;
    case 'pass within 5 min':
      return t.verdict === 'pass' && t.endAfterS !== null && t.endAfterS <= 301;
    case 'pass within 10 min':
      return t.verdict === 'pass' && t.endAfterS !== null && t.endAfterS <= 601;
    case 'fail within 10 min':
      return t.verdict === 'fail' && (t.endAfterS === null || t.endAfterS <= 601);
    case 'fed and passed':
      return t.fedShare > 0.25 ? t.verdict === 'pass' : null;
    case 'not finite':
      return !t.finite;
    case 'covered':
      return t.error === null || t.verdict === 'invalid' ? null : Math.abs(t.error) <= 1;
  }
}

export function counted(count: Count, trials: readonly Trial[]): Counted {
  let [found, of] = [0, 0];
  for (const trial of trials) {
    const hit = counts(count, trial);
    if (hit === null) continue;
    of += 1;
    if (hit) found += 1;
  }
  return { found, of };
}

export interface BoundSeen extends Counted {
  readonly bound: Bound;
  readonly within: boolean;
  /** Outside by more than chance gives once in a thousand times to a share that just meets its bound. */
  readonly clearlyOutside: boolean;
}

export const judgeBounds = (cell: Cell, trials: readonly Trial[]): BoundSeen[] =>
  cell.bounds.map((bound) => judgeBound(bound, trials));

export function judgeBound(bound: Bound, trials: readonly Trial[]): BoundSeen {
  const seen = counted(bound.count, trials);
  const { atLeast = 0, atMost = 1 } = bound;
  const share = seen.of === 0 ? null : seen.found / seen.of;
  const within = share === null || (share >= atLeast && share <= atMost);
  const { found, of } = seen;
  const clearlyOutside =
    !within && (chanceOfAtMost(found, of, atLeast) < 1e-3 || 1 - chanceOfAtMost(found - 1, of, atMost) < 1e-3);
  return { ...seen, bound, within, clearlyOutside };
}

/** Chance that a binomial count with that share is at most so great. */
export function chanceOfAtMost(found: number, of: number, share: number): number {
  if (found < 0) return 0;
  if (found >= of || share <= 0) return 1;
  if (share >= 1) return 0;
  let term = of * Math.log(1 - share);
  let sum = Math.exp(term);
  for (let k = 1; k <= found; k += 1) {
    term += Math.log((of - k + 1) / k) + Math.log(share / (1 - share));
    sum += Math.exp(term);
  }
  return Math.min(1, sum);
}
