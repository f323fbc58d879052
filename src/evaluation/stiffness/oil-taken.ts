import type { AttemptFacts } from '../../holdtest/index.js';
import type { PortPlan } from '../../procedure/index.js';
import type { RiseSection } from './rise-sections.js';

/** Oil that the rise was seen to take, m3 per Pa of rise, air included. */
export interface OilTaken {
  readonly knownBy: 'measured' | 'strokes' | 'flow';
  /** The least and the most it can have been: the strokes of a booster may belong to all of the rise or to its end. */
  readonly leastM3PerPa: number;
  readonly mostM3PerPa: number;
  /** Relative standard uncertainty of the measure itself. */
  readonly relU: number;
  /** Between which pressures. */
  readonly fromPa: number;
  readonly toPa: number;
}

/** Relative standard uncertainties, common practice: a measured volume, a booster's stroke, a pump's stated delivery. */
const relU = { measured: 0.02, stroke: 0.03, flow: 0.05 } as const;
/** The pump's section is the first that spans this share of the target and begins in its lower half. */
const leastSpan = 0.1;

/**
 * How much oil went in, from what is known, best first: oil measured, strokes counted, the pump's flow over the time
 * of its part of the rise.
 */
export function oilTaken(
  port: PortPlan,
  facts: AttemptFacts,
  sections: readonly RiseSection[],
  intervalS: number,
): OilTaken | null {
  const { flowM3PerS, strokeM3 } = port.stiffness;
  const targetPa = port.stages.at(-1)?.targetPa ?? 0;
  const risenPa = Math.max(targetPa, (facts.peakPa ?? 0) - (facts.zeroBeforePa ?? 0));
  if (!(risenPa > 0)) return null;
  if (facts.oilPumpedM3 !== null) {
    const m3PerPa = facts.oilPumpedM3 / risenPa;
    return whole('measured', m3PerPa, relU.measured, risenPa);
  }
  if (facts.strokes !== null && strokeM3 !== undefined && facts.strokes > 0) {
    const m3 = facts.strokes * strokeM3;
    const strokesU = Math.hypot(relU.stroke, 1 / Math.sqrt(3) / facts.strokes);
    const all = whole('strokes', m3 / risenPa, strokesU, risenPa);
    const boosterFromPa = sections.length > 1 ? (sections.at(-1)?.[0]?.pa ?? 0) : 0;
    if (boosterFromPa < leastSpan * risenPa || boosterFromPa > 0.98 * risenPa) return all;
    const end = m3 / (risenPa - boosterFromPa);
    if (flowM3PerS === undefined) return { ...all, mostM3PerPa: end };
    return { ...all, leastM3PerPa: end, mostM3PerPa: end, fromPa: boosterFromPa };
  }
  return flowM3PerS === undefined ? null : oilOfFlow(flowM3PerS, sections, targetPa, intervalS);
}

const whole = (knownBy: OilTaken['knownBy'], m3PerPa: number, u: number, toPa: number): OilTaken => ({
  knownBy,
  leastM3PerPa: m3PerPa,
  mostM3PerPa: m3PerPa,
  relU: u,
  fromPa: 0,
  toPa,
});

/** The flow over the upper two thirds of the pump's section, where air matters least and the start is past. */
function oilOfFlow(
  flowM3PerS: number,
  sections: readonly RiseSection[],
  targetPa: number,
  intervalS: number,
): OilTaken | null {
  const pumped = sections.find((section) => (section.at(-1)?.pa ?? 0) - (section[0]?.pa ?? 0) >= leastSpan * targetPa);
  const [start, to] = [pumped?.[0], pumped?.at(-1)];
  if (!pumped || !start || !to || start.pa > targetPa / 2) return null;
  const from = pumped.find(({ pa }) => pa >= start.pa + (to.pa - start.pa) / 3) ?? start;
  const steady = to.pa - from.pa >= (to.pa - start.pa) / 3 && to.s - from.s >= 5 * intervalS;
  const begin = steady ? from : start;
  const overS = to.s - begin.s;
  const m3PerPa = (flowM3PerS * overS) / (to.pa - begin.pa);
  const timeRelU = intervalS / Math.sqrt(6) / Math.max(overS, intervalS / 10);
  return {
    knownBy: 'flow',
    leastM3PerPa: m3PerPa,
    mostM3PerPa: m3PerPa,
    relU: Math.hypot(relU.flow, steady ? timeRelU : Math.min(timeRelU, 0.3)),
    fromPa: begin.pa,
    toPa: to.pa,
  };
}
