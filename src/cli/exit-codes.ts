import type { Verdict } from '../evaluation/index.js';

/** What a script learns from a command without reading it. */
export const exitCodes = {
  done: 0,
  fail: 1,
  usage: 2,
  undecided: 3,
  altered: 4,
  gauge: 5,
  unproven: 6,
} as const;

/** 0 for a pass, 1 for a fail, 3 for inconclusive and invalid. */
export function verdictExit(verdict: Verdict): number {
  if (verdict === 'pass') return exitCodes.done;
  return verdict === 'fail' ? exitCodes.fail : exitCodes.undecided;
}
