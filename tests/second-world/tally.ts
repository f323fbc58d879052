import type { Bound, Count } from './cells/index.js';
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
  /** How rarely chance takes a share that just meets its bound so far outside; 1 within. */
  readonly chance: number;
}

export const judgeBound = (bound: Bound, trials: readonly Trial[]): BoundSeen =>
  judgeCount(bound, counted(bound.count, trials));

function judgeCount(bound: Bound, { found, of }: Counted): BoundSeen {
  const { atLeast = 0, atMost = 1 } = bound;
  const within = of === 0 || (found / of >= atLeast && found / of <= atMost);
  const below = found / of < atLeast ? chanceOfAtMost(found, of, atLeast) : 1;
  const above = found / of > atMost ? 1 - chanceOfAtMost(found - 1, of, atMost) : 1;
  return { found, of, bound, within, chance: within ? 1 : Math.min(below, above) };
}

/** One bound over the holds of several cells. */
export function judgeTogether(seen: readonly BoundSeen[]): BoundSeen | null {
  const sum = (of: (one: BoundSeen) => number): number => seen.reduce((total, one) => total + of(one), 0);
  const bound = seen[0]?.bound;
  return bound ? judgeCount(bound, { found: sum(({ found }) => found), of: sum(({ of }) => of) }) : null;
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
