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

/** What help and the manual page say of them. */
export const exitStatus = `0 done, every verdict pass; 1 a verdict is fail; 2 wrong use or unreadable
input; 3 inconclusive or invalid; 4 altered or unverifiable record; 5 gauge fault;
6 not proven, as the signer is not known or the paper is void.`;
