import { type AttemptFacts, type RampCurve, rampSteps } from '../../holdtest/index.js';
import { atmospherePa } from '../../hydraulics/index.js';
import type { PortPlan } from '../../procedure/index.js';
import type { StiffnessResult } from '../result.js';

/** A ramp as it was seen: when each twentieth of the target was passed. */
export interface SeenRamp {
  readonly curve: RampCurve;
  readonly fromPa: number;
  readonly toPa: number;
}

/** Seen against expected: outside this ratio (and three standard uncertainties) the cylinder is not what was said. */
const stiffBelow = 0.6;
const softAbove = 1.4;
/** Free air at atmosphere, fraction of the volume, from which a hold is not judged. */
const airLimit = 0.004;

/**
 * Is the cylinder really there, and is it full of oil? A shut valve, or a hose with nothing on it, holds for ever:
 * pressing up the cylinder must take the oil that its volume needs. Compared are, in this order: oil measured in,
 * booster strokes counted, and the pump's flow over the time of the rise. Trapped air shows in the bow of the rise: at
 * constant flow the time to a pressure is t = (V/K p + x V p/(p + p0))/q (series rule, isothermal air).
 */
export function checkStiffness(port: PortPlan, ramp: SeenRamp | null, facts: AttemptFacts): StiffnessResult {
  const { oilM3, oilUM3, flowM3PerS, strokeM3 } = port.stiffness;
  const targetPa = port.stages.at(-1)?.targetPa ?? 0;
  const expectedM3PerPa = targetPa > 0 ? oilM3 / targetPa : null;
  const air = ramp ? airFromBow(ramp, port.trapped.bulkModulusPa) : null;
  const oil = measuredOil(facts, strokeM3);
  const seenM3PerPa =
    oil !== null && targetPa > 0
      ? oil / targetPa
      : flowM3PerS !== undefined && ramp
        ? riseOfFlow(ramp, flowM3PerS)
        : null;
  if (seenM3PerPa === null || expectedM3PerPa === null || !(expectedM3PerPa > 0)) {
    const text =
      'how much oil the rise took is not known, so the readings do not show by themselves that the gauge was joined to the cylinder';
    return airVerdict({ verdict: 'not-checked', seenM3PerPa: null, expectedM3PerPa, airFraction: air, text });
  }
  const ratio = seenM3PerPa / expectedM3PerPa;
  const spread = (3 * oilUM3) / oilM3;
  const seen = `the rise took {volume:${seenM3PerPa * targetPa}} of oil where {volume:${oilM3}} is needed`;
  const figures = { seenM3PerPa, expectedM3PerPa, airFraction: air };
  if (ratio < stiffBelow && ratio < 1 - spread)
    return {
      ...figures,
      verdict: 'too-stiff',
      text: `${seen}: a shut valve, no cylinder on the hose, or another volume`,
    };
  if (ratio > softAbove && ratio > 1 + spread)
    return {
      ...figures,
      verdict: 'too-soft',
      text: `${seen}: trapped air, a soft hose, a leak, or a piston that is not bottomed`,
    };
  return airVerdict({ ...figures, verdict: 'agrees', text: seen });
}

function airVerdict(result: StiffnessResult): StiffnessResult {
  if (result.airFraction === null || result.airFraction < airLimit) return result;
  const percent = (result.airFraction * 100).toFixed(1);
  return {
    ...result,
    verdict: 'too-soft',
    text: `the rise is bowed as by ${percent} % of free air: purge and try again`,
  };
}

function measuredOil(facts: AttemptFacts, strokeM3: number | undefined): number | null {
  if (facts.oilPumpedM3 !== null) return facts.oilPumpedM3;
  return facts.strokes !== null && strokeM3 !== undefined ? facts.strokes * strokeM3 : null;
}

interface Passed {
  readonly pa: number;
  readonly s: number;
}

/** Steady part of the rise: from a tenth of the target to its end, or to the pause between pump and booster. */
function steadyRise(ramp: SeenRamp): Passed[] {
  const passed = ramp.curve.flatMap((timeUs, i): Passed[] => {
    const pa = (ramp.toPa * (i + 1)) / rampSteps;
    return timeUs === null || pa <= ramp.fromPa ? [] : [{ pa, s: timeUs / 1e6 }];
  });
  const steps = passed.slice(1).map((point, i) => point.s - (passed[i]?.s ?? 0));
  const usual = [...steps].sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 0;
  const pause = steps.findIndex((s) => s > 4 * usual && s > 2);
  return pause < 0 ? passed : passed.slice(0, pause + 1);
}

/** Volume over stiffness, m3/Pa, from a known flow over the second half of the steady rise, where air matters least. */
function riseOfFlow(ramp: SeenRamp, flowM3PerS: number): number | null {
  const rise = steadyRise(ramp);
  const half = rise.slice(Math.floor(rise.length / 3));
  const [first, last] = [half[0], half.at(-1)];
  if (!first || !last || half.length < 3 || last.pa <= first.pa) return null;
  return (flowM3PerS * (last.s - first.s)) / (last.pa - first.pa);
}

/** Free air that explains the bow of the rise, by least squares on time against p and p/(p + p0); null when too few points. */
function airFromBow(ramp: SeenRamp, bulkModulusPa: number): number | null {
  const rise = steadyRise(ramp);
  const origin = rise[0];
  if (!origin || rise.length < 8) return null;
  const bow = (pa: number) => pa / (pa + atmospherePa);
  let [pp, pb, bb, tp, tb] = [0, 0, 0, 0, 0];
  for (const { pa, s } of rise.slice(1)) {
    const [p, b, t] = [(pa - origin.pa) / 1e6, bow(pa) - bow(origin.pa), s - origin.s];
    pp += p * p;
    pb += p * b;
    bb += b * b;
    tp += t * p;
    tb += t * b;
  }
  const determinant = pp * bb - pb * pb;
  if (!(determinant > 1e-12 * pp * bb)) return null;
  const perMPa = (tp * bb - tb * pb) / determinant;
  const perBow = (pp * tb - pb * tp) / determinant;
  if (!(perMPa > 0)) return null;
  return Math.max(0, perBow / ((perMPa * bulkModulusPa) / 1e6));
}
