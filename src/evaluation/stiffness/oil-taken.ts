import type { AttemptFacts } from '../../holdtest/index.js';
import type { PortPlan } from '../../procedure/index.js';
import { rootSumSquares } from '../../units/index.js';
import type { RiseSection } from './rise-sections.js';

/** Oil that the rise was seen to take, air included. */
export interface OilTaken {
  readonly knownBy: 'measured' | 'strokes' | 'flow';
  /** As it may be read: the strokes of a booster may belong to all of the rise or to its end. At least one. */
  readonly readings: readonly OilOverRise[];
  /** Relative standard uncertainty of the measure itself. */
  readonly relU: number;
}

/** Oil for each pascal of rise between two pressures, m3/Pa. */
export interface OilOverRise {
  readonly m3PerPa: number;
  readonly fromPa: number;
  readonly toPa: number;
}

/** The same for the solid give alone, m3 for each pascal of rise: the least and the most it may be. */
export interface SolidOil {
  readonly knownBy: OilTaken['knownBy'];
  readonly relU: number;
  readonly leastM3PerPa: number;
  readonly mostM3PerPa: number;
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
  const over = (m3: number, fromPa: number): OilOverRise => ({
    m3PerPa: m3 / (risenPa - fromPa),
    fromPa,
    toPa: risenPa,
  });
  if (facts.oilPumpedM3 !== null)
    return { knownBy: 'measured', relU: relU.measured, readings: [over(facts.oilPumpedM3, 0)] };
  if (facts.strokes !== null && strokeM3 !== undefined && facts.strokes > 0) {
    const m3 = facts.strokes * strokeM3;
    const strokesRelU = rootSumSquares(relU.stroke, 1 / Math.sqrt(3) / facts.strokes);
    const boosterFromPa = pumpSection(sections, targetPa)?.at(-1)?.pa ?? 0;
    const all = over(m3, 0);
    const pumpedFirst = boosterFromPa <= (1 - leastSpan) * risenPa ? over(m3, boosterFromPa) : null;
    const readings = pumpedFirst === null ? [all] : flowM3PerS === undefined ? [all, pumpedFirst] : [pumpedFirst];
    return { knownBy: 'strokes', relU: strokesRelU, readings };
  }
  return flowM3PerS === undefined ? null : oilOfFlow(flowM3PerS, sections, targetPa, intervalS);
}

/** The part of the rise that the pump made: the first that is long enough, when it begins low enough. */
function pumpSection(sections: readonly RiseSection[], targetPa: number): RiseSection | null {
  const spanPa = (section: RiseSection): number => (section.at(-1)?.pa ?? 0) - (section[0]?.pa ?? 0);
  const pumped = sections.find((section) => spanPa(section) >= leastSpan * targetPa);
  return pumped && (pumped[0]?.pa ?? 0) <= targetPa / 2 ? pumped : null;
}

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
    relU: rootSumSquares(relU.flow, steady ? timeRelU : Math.min(timeRelU, 0.3)),
    readings: [{ m3PerPa, fromPa: begin.pa, toPa: to.pa }],
  };
}
