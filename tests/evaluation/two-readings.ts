import type { StageResult, Verdict } from '../../src/evaluation/index.js';
import { evaluate } from './ensembles.js';
import { dropLimit, holdContext } from './holds.js';
import { chance, correlatedNoiseSource, simulatedDwell } from './trace-generator.js';

/** Oil that changes by so much over the dwell while a leak of so much runs; 5 bar are allowed. */
export interface CoolingCase {
  readonly name: string;
  /** Positive: cools. */
  readonly coolK: number;
  readonly leakDropPa: number;
}

export interface Tally {
  right: number;
  undecided: number;
  wrong: number;
}

export interface CoolingOutcome {
  readonly twoReadings: Tally;
  readonly withProbe: Tally;
  readonly withoutProbe: Tally;
}

const limitPa = 5e5;
const dwellS = 300;
const paPerK = 1.05e6;

/** Judges the same traces by first reading less last, by the evaluation with a probe, and without one but with its bound. */
export function runCooling(cooling: CoolingCase, holds: number, firstSeed: number): CoolingOutcome {
  const outcome: CoolingOutcome = {
    twoReadings: { right: 0, undecided: 0, wrong: 0 },
    withProbe: { right: 0, undecided: 0, wrong: 0 },
    withoutProbe: { right: 0, undecided: 0, wrong: 0 },
  };
  const truth: Verdict = cooling.leakDropPa <= limitPa ? 'pass' : 'fail';
  for (let hold = 0; hold < holds; hold++) {
    const source = chance(firstSeed + hold * 6151);
    const tauS = source.between(400, 1500);
    const dwell = simulatedDwell({
      source,
      durationS: dwellS,
      ratePerS: 10,
      startPa: 242e5,
      leakDropPa: cooling.leakDropPa,
      noise: correlatedNoiseSource(source, 0, 5e3),
      resolutionPa: 1e3,
      oil: {
        coolK: cooling.coolK / (1 - Math.exp(-dwellS / tauS)),
        tauS,
        paPerK: paPerK + 5e4 * source.normal(),
        probe: { lagS: source.between(5, 40), noiseK: 0.01 },
      },
    });
    const context = holdContext({
      dwellS,
      allowed: [dropLimit(limitPa)],
      thermalUPaPerK: 5e4,
      unmeasuredTemperatureK: 0.6,
      stabilityPa: 1e4,
    });
    const fall = (dwell.pressurePa[0] ?? 0) - (dwell.pressurePa.at(-1) ?? 0);
    count(outcome.twoReadings, fall <= limitPa ? 'pass' : 'fail', truth);
    count(outcome.withProbe, judged(evaluate(context, dwell)), truth);
    count(outcome.withoutProbe, judged(evaluate(context, { ...dwell, oilK: dwell.oilK.map(() => null) })), truth);
  }
  return outcome;
}

const judged = (result: StageResult): Verdict => result.verdict;

function count(tally: Tally, verdict: Verdict, truth: Verdict): void {
  if (verdict === truth) tally.right++;
  else if (verdict === 'pass' || verdict === 'fail') tally.wrong++;
  else tally.undecided++;
}
