import { rootSumSquares } from '../units/index.js';
import type { EvaluationFlag, StageResult } from './result.js';

/** How the leak of one hold stands to that of another. */
export interface StageComparison {
  /** Leak at the higher pressure over leak at the lower, and its standard uncertainty; null when it can't be had. */
  readonly ratio: number | null;
  readonly ratioU: number | null;
  readonly law: 'laminar' | 'orifice' | 'same rate' | 'cannot tell';
  readonly text: string;
}

/** A ratio fits a law when it lies within this many standard uncertainties of what the law says. */
const within = 2;

/**
 * Compares the leaks of two dwells at different pressures: a laminar gap leaks in proportion to pressure, an orifice
 * with its root. Volume and stiffness are common to both, so only the drops' uncertainties count.
 * @returns law `cannot tell` when pressures differ by less than a tenth, a leak is not clear of its uncertainty, or
 * both laws fit, or neither
 */
export function compareStages(one: StageResult, other: StageResult): StageComparison {
  const [low, high] = (one.startPa ?? 0) <= (other.startPa ?? 0) ? [one, other] : [other, one];
  const [lowLeak, highLeak] = [clearRate(low), clearRate(high)];
  if (!lowLeak || !highLeak) return cannot('No leak clear of its uncertainty in both dwells.');
  const pressures = meanPressure(high) / meanPressure(low);
  const ratio = highLeak.rate / lowLeak.rate;
  const ratioU = ratio * rootSumSquares(highLeak.u / highLeak.rate, lowLeak.u / lowLeak.rate);
  const fits = (expected: number): boolean => Math.abs(ratio - expected) <= within * ratioU;
  const at = `{rate:${highLeak.rate}} at {pressure:${meanPressure(high)}} against {rate:${lowLeak.rate}} at {pressure:${meanPressure(low)}}`;
  if (pressures < 1.1)
    return fits(1)
      ? { ratio, ratioU, law: 'same rate', text: `${at}: the same rate each time, as a leak has.` }
      : {
          ratio,
          ratioU,
          law: 'cannot tell',
          text: `${at}: another rate at the same pressure; heat and creep give less each time, a leak the same.`,
        };
  const [laminar, orifice] = [fits(pressures), fits(Math.sqrt(pressures))];
  if (laminar && !orifice)
    return { ratio, ratioU, law: 'laminar', text: `${at}: in proportion to pressure, as through a narrow gap.` };
  if (orifice && !laminar)
    return { ratio, ratioU, law: 'orifice', text: `${at}: with the root of pressure, as through a hole or a nick.` };
  return {
    ratio,
    ratioU,
    law: 'cannot tell',
    text: `${at}: this fits ${laminar ? 'both a gap and a hole' : 'neither a gap nor a hole'}.`,
  };
}

/** The same as a flag for the later of two stages. */
export function stagesComparedFlag(comparison: StageComparison): EvaluationFlag {
  return { code: 'stages-compared', text: comparison.text };
}

/** The rate of a dwell when it is larger than its expanded uncertainty, with its standard uncertainty. */
function clearRate(stage: StageResult): { rate: number; u: number } | null {
  const { ratePaPerS: rate, rateUncertaintyPaPerS: expanded, coverageFactor } = stage;
  if (rate === null || expanded === null || coverageFactor === null || rate <= expanded) return null;
  return { rate, u: expanded / coverageFactor };
}

const meanPressure = (stage: StageResult): number => ((stage.startPa ?? 0) + (stage.endPa ?? 0)) / 2;

const cannot = (text: string): StageComparison => ({ ratio: null, ratioU: null, law: 'cannot tell', text });
