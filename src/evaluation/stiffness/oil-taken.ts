import type { AttemptFacts } from '../../holdtest/index.js';
import type { PortPlan } from '../../procedure/index.js';
import { rootSumSquares } from '../../units/index.js';
import { median } from '../statistics/lines.js';
import type { RiseSection } from './air-in-rise.js';
import type { StrokeChain } from './booster-steps.js';
import type { SeenSteps } from './rise-watch.js';

/** Oil that the rise was seen to take, air included. */
export interface OilTaken {
  readonly knownBy: 'measured' | 'strokes' | 'steps' | 'flow';
  /** No more than this went in: it can show that the cylinder is missing, not that it is there. */
  readonly atMost?: true;
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

/** Strokes a second, more than which no booster makes: the program's own rule, no source. */
const mostStrokesPerS = 3;
/** A rise counts by itself from this share of all of it on. */
const leastLeg = 0.05;
/** Fewer whole strokes between the first and the last count with those. */
const fewestBetween = 3;

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
  { intervalS, steps }: { readonly intervalS: number; readonly steps: SeenSteps | undefined },
): OilTaken | null {
  const { flowM3PerS, strokeM3, flowAtMost } = port.stiffness;
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
  const ofSteps = strokeM3 === undefined || !steps ? null : oilOfSteps(strokeM3, steps);
  if (ofSteps) return ofSteps;
  if (flowM3PerS !== undefined) {
    const ofFlow = oilOfFlow(flowM3PerS, sections, targetPa, intervalS);
    return ofFlow && flowAtMost ? { ...ofFlow, atMost: true } : ofFlow;
  }
  return strokeM3 === undefined || !steps ? null : oilAtMost(strokeM3, steps, risenPa);
}

/** The strokes that stand in the trace, over the levels between which they are whole. */
function oilOfSteps(strokeM3: number, { chains }: SeenSteps): OilTaken | null {
  const [widest] = chains.toSorted((a, b) => b.strokes - a.strokes);
  if (!widest) return null;
  const inner = widest.steps.slice(1, -1);
  const innerStrokes = inner.reduce((sum, { strokes }) => sum + strokes, 0);
  const [steps, strokes] = innerStrokes >= fewestBetween ? [inner, innerStrokes] : [widest.steps, widest.strokes];
  const [fromPa, toPa] = [steps[0]?.fromPa ?? 0, steps.at(-1)?.toPa ?? 0];
  if (!(toPa > fromPa)) return null;
  return {
    knownBy: 'steps',
    relU: rootSumSquares(relU.stroke, 1 / Math.sqrt(3) / strokes, missed(steps) / strokes),
    readings: [{ m3PerPa: (strokes * strokeM3) / (toPa - fromPa), fromPa, toPa }],
  };
}

/** Strokes that the times between the steps leave room for, but no step shows. */
function missed(steps: StrokeChain['steps']): number {
  const apart = steps.slice(1).map(({ fromS }, i) => fromS - (steps[i]?.fromS ?? fromS));
  return apart.reduce((sum, between, i) => {
    const usual = median(Float64Array.from(apart.slice(Math.max(0, i - pacedBy), i + pacedBy + 1)));
    return sum + Math.min(mostMissed, Math.max(0, Math.round(between / usual) - Math.max(1, steps[i]?.strokes ?? 1)));
  }, 0);
}
/** Neighbours to each side whose pace is usual, and strokes that one gap may hide: a longer one is a pause. */
const [pacedBy, mostMissed] = [4, 2];

/** Strokes too few or too quick to be told apart: no more than a booster can make in the time of any one rise. */
function oilAtMost(strokeM3: number, { steps }: SeenSteps, risenPa: number): OilTaken | null {
  const readings = steps
    .filter(({ fromPa, toPa }) => toPa - fromPa >= leastLeg * risenPa)
    .map(({ fromS, toS, fromPa, toPa }) => ({
      m3PerPa: (Math.ceil(mostStrokesPerS * (toS - fromS)) * strokeM3) / (toPa - fromPa),
      fromPa,
      toPa,
    }))
    .toSorted((a, b) => a.m3PerPa - b.m3PerPa);
  return readings[0] ? { knownBy: 'steps', atMost: true, relU: relU.stroke, readings: readings.slice(0, 1) } : null;
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
