import { type CollectedDemand, collectedAmount } from '../procedure/index.js';
import type { Verdict } from './result.js';

/** Oil caught at the open port beside what the fall of pressure says was lost. */
export interface CollectedComparison {
  /** Leak by the decay over leak collected; null when nothing was collected. */
  readonly ratio: number | null;
  readonly agrees: boolean;
  readonly text: string;
}

/** A leak by the fall of pressure, m3/s, with its expanded uncertainty. */
export interface LeakByGauge {
  readonly leakM3PerS: number;
  readonly expandedU: number;
}

/** Up to this factor the two agree: trapped volume, stiffness and the way oil is caught are no better. Common practice, no source. */
const agreement = 2;

/**
 * Compares the leak rate by V/K dp/dt with the oil collected at the open opposite port, m3/s. Much more by the
 * pressure than by the cup means that oil leaves elsewhere: outside, or into the bench. What lies within the
 * uncertainty of the gauge is no difference.
 * @example compareCollected({ leakM3PerS: 5e-9, expandedU: 1e-9 }, 2e-9).agrees // false: two and a half times as much by the pressure
 */
export function compareCollected(gauge: LeakByGauge, collectedM3PerS: number): CollectedComparison {
  const { leakM3PerS, expandedU } = gauge;
  const both = `{flow:${leakM3PerS}} ± {flow:${expandedU}} by the fall of pressure, {flow:${collectedM3PerS}} collected`;
  const ratio = collectedM3PerS > 0 ? leakM3PerS / collectedM3PerS : null;
  const nothing = leakM3PerS <= 0 && collectedM3PerS === 0;
  if (nothing || Math.abs(leakM3PerS - collectedM3PerS) <= expandedU)
    return { ratio, agrees: true, text: `${both}: they agree` };
  if (leakM3PerS > agreement * collectedM3PerS) {
    const elsewhere = 'oil leaves elsewhere too, outside or into the bench';
    const text = ratio === null ? 'what the pressure lost did not come out at the open port' : elsewhere;
    return { ratio, agrees: false, text: `${both}: ${text}` };
  }
  if (leakM3PerS * agreement < collectedM3PerS)
    return {
      ratio,
      agrees: false,
      text: `${both}: more came out than the pressure lost; oil of decompression was caught, or the trapped volume or its stiffness is wrong`,
    };
  return { ratio, agrees: true, text: `${both}: they agree` };
}

/** Oil in the cup, and the time over which it came. */
export interface Caught {
  readonly volumeM3: number;
  readonly overS: number;
}

export interface CupVerdict {
  readonly verdict: Verdict;
  /** One clause, as of a stage. */
  readonly reason: string;
}

/** Figures that a person typed are compared as they stand, but for what a sum of decimals leaves over. */
const rounding = 1e-9;

/**
 * The verdict of the cup: what was read, as it was read, against what the procedure allows. A longer time is brought to
 * the demanded one; a shorter one can fail and never pass.
 * @param gauge what the fall of pressure says of the same hold; null: nothing
 */
export function judgeCollected(demand: CollectedDemand, caught: Caught | null, gauge: LeakByGauge | null): CupVerdict {
  const limit = collectedAmount(demand);
  const allowed = `${demand.lessThan ? '' : 'at most '}${limit} is allowed`;
  if (caught === null || !(caught.overS > 0))
    return {
      verdict: 'inconclusive',
      reason: `oil collected: nobody wrote down how much; the procedure judges by it, and ${allowed}`,
    };
  const volumeM3 = caught.volumeM3 / Math.max(1, caught.overS / demand.overS);
  const rate = caught.volumeM3 / caught.overS;
  const compared = gauge && compareCollected(gauge, rate);
  const contradiction = compared && !compared.agrees ? `; gauge and cup contradict each other: ${compared.text}` : '';
  const found = `oil collected: {volume:${caught.volumeM3}} in {seconds:${caught.overS}}; ${allowed}${contradiction}`;
  const tooMuch = demand.lessThan
    ? volumeM3 >= demand.volumeM3 * (1 - rounding)
    : volumeM3 > demand.volumeM3 * (1 + rounding);
  if (tooMuch) return { verdict: 'fail', reason: found };
  if (caught.overS < demand.overS * (1 - rounding))
    return { verdict: 'inconclusive', reason: `${found}, and a shorter time can't pass` };
  // What the gauge proves to be lost is more than the cup may hold, and the cup does not have it.
  const lost = gauge !== null && gauge.leakM3PerS - gauge.expandedU > demand.volumeM3 / demand.overS;
  return { verdict: lost && contradiction !== '' ? 'inconclusive' : 'pass', reason: found };
}
