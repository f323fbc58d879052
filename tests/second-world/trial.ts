import { Chance } from './chance.js';
import { type Hold, simulate } from './hold.js';
import type { HoldSpec, Leak, LeakLaw } from './hold-spec.js';
import { valueAt } from './physics.js';
import { type Outcome, runHold } from './run-hold.js';

/** A hold judged, with what counts held against the truth. */
export interface Trial {
  readonly seed: number;
  readonly verdict: Outcome['verdict'];
  readonly reason: string;
  /** True loss by leak over the judged dwell, as a multiple of what is allowed; over the time after shut-in without one. */
  readonly trueShare: number;
  /** Stated drop less true loss over the judged dwell, in stated uncertainties; null where no drop was stated. */
  readonly error: number | null;
  /** The same against the fall that the leak made, with the cold of its expansion. */
  readonly errorOfFall: number | null;
  readonly finite: boolean;
  /** From shut-in to the end of the dwell; null without a dwell. */
  readonly endAfterS: number | null;
  readonly startAfterS: number | null;
  readonly uShare: number | null;
  /** A hand put oil in during the dwell, as a multiple of what is allowed. */
  readonly fedShare: number;
}

/** The drop allowed to a dwell that starts where the operator left the pressure. */
export const allowedPa = ({ test, operator }: HoldSpec): number =>
  test.allowedShare * (operator.letBackToPa ?? operator.aimPa);

const laws: readonly LeakLaw[] = ['orifice', 'gap', 'constant'];

/** A leak from the start on that loses so many allowed drops in a dwell, at test pressure. */
export function steadyLeak(spec: HoldSpec, multiple: number): Leak {
  const law = Chance.of(spec.seed, 'leak law').pick(laws);
  return { law, course: { kind: 'steady', paPerS: (multiple * allowedPa(spec)) / spec.test.dwellS } };
}

export const withLeaks = (spec: HoldSpec, ...leaks: readonly Leak[]): HoldSpec => ({
  ...spec,
  leaks: [...spec.leaks, ...leaks],
});

/** Simulates and judges. */
export function tryHold(spec: HoldSpec): Trial {
  const hold = simulate(spec);
  last = hold;
  return trialOf(hold, runHold(hold));
}

let last: Hold | null = null;

/** A trial with the hold that it judged last. */
export function trialsKept(run: () => Trial): { readonly trial: Trial; readonly hold: Hold } {
  last = null;
  const trial = run();
  if (!last) throw new Error('nothing was simulated');
  return { trial, hold: last };
}

/** When a dwell runs, s. */
export interface DwellTimes {
  readonly startS: number;
  readonly endS: number;
  readonly shutInS: number;
}

/**
 * A hold in whose dwell something happens: judged once to see when its dwell runs, then again with what happens in it.
 * Up to that moment both logs are the same.
 */
export function tryInDwell(spec: HoldSpec, happens: (spec: HoldSpec, dwell: DwellTimes) => HoldSpec): Trial {
  const hold = simulate(spec);
  const { dwellStartS } = runHold(hold);
  const { shutInS } = hold.truth;
  const startS = dwellStartS ?? shutInS + 60;
  return tryHold(happens(spec, { startS, endS: startS + spec.test.dwellS, shutInS }));
}

export function trialOf({ spec, truth }: Hold, outcome: Outcome): Trial {
  const { dwellStartS, dwellEndS, dropPa, uncertaintyPa } = outcome;
  const judged = dwellStartS !== null && dwellEndS !== null;
  const [fromS, toS] = judged ? [dwellStartS, dwellEndS] : [truth.shutInS, truth.shutInS + spec.test.dwellS];
  const lossPa = truth.leakPa(fromS, toS);
  // The limit is a share of the pressure at the start of the dwell.
  const limitPa = spec.test.allowedShare * valueAt(truth.course.cylinderPa, fromS);
  const stated = judged && dropPa !== null && uncertaintyPa !== null;
  const numbers = [dropPa, uncertaintyPa].filter((one) => one !== null);
  return {
    seed: spec.seed,
    verdict: outcome.verdict,
    reason: outcome.stageReason ?? outcome.reason,
    trueShare: (lossPa * spec.test.dwellS) / Math.max(toS - fromS, 1) / limitPa,
    error: stated ? (dropPa - lossPa) / uncertaintyPa : null,
    errorOfFall: stated ? (dropPa - truth.fallByLeakPa(fromS, toS)) / uncertaintyPa : null,
    finite: numbers.every(Number.isFinite) && (uncertaintyPa === null || uncertaintyPa > 0),
    endAfterS: judged ? dwellEndS - truth.shutInS : null,
    startAfterS: judged ? dwellStartS - truth.shutInS : null,
    uShare: stated ? uncertaintyPa / limitPa : null,
    fedShare: truth.fedPa(fromS, toS) / limitPa,
  };
}
