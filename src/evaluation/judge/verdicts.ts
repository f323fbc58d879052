import { type AttemptFacts, type HoldEvent, isExternalLeak } from '../../holdtest/index.js';
import { atmospherePa } from '../../hydraulics/index.js';
import type { CollectedDemand, PortPlan } from '../../procedure/index.js';
import { pressurePa } from '../../units/index.js';
import { compareCollected, judgeCollected, type LeakByGauge } from '../collected.js';
import type { PortResult, StageResult, StiffnessResult, TestResult, Verdict } from '../result.js';
import { breakAwayOf, type StrokeResult, strokeGrounds } from '../strokes/break-away.js';

/** From worst to best: a port is as good as the worst thing known of it. */
const worstFirst: readonly Verdict[] = ['fail', 'invalid', 'inconclusive', 'pass'];

const worst = (verdicts: readonly Verdict[]): Verdict =>
  worstFirst.find((verdict) => verdicts.includes(verdict)) ?? 'inconclusive';

/** The test's verdict: the worst of its ports', each by its last attempt. */
export const testVerdict = (ports: TestResult['ports']): Verdict => worst(ports.map((port) => port.verdict));

interface Ground {
  readonly verdict: Verdict;
  readonly reason: string;
}

/** One attempt at a port: its stages, and everything beside them that decides. */
export function portResult(
  port: PortPlan,
  attempt: number,
  facts: AttemptFacts,
  stages: readonly StageResult[],
  events: readonly HoldEvent[],
  stiffness: StiffnessResult,
  strokes: readonly StrokeResult[],
): PortResult {
  const breakAway = port.strokes ? breakAwayOf(strokes, port.strokes) : null;
  const gauge = leakByGauge(stages);
  const cup = port.collected ? judgeCollected(port.collected, facts.collected, gauge) : null;
  const grounds = [
    ...groundsBeside(port, facts, stiffness),
    ...lookGrounds(port, stages, events),
    ...strokeGrounds(breakAway, port.strokes?.limits),
    ...stages.map((stage) => stageGround(stage, port, stiffness)),
    ...(cup ? [cup] : []),
  ];
  const verdict = worst(grounds.map((ground) => ground.verdict));
  const reason = grounds.filter((ground) => ground.verdict === verdict).map((ground) => ground.reason);
  const caught = facts.collected;
  return {
    port: port.port,
    attempt,
    repeat: facts.repeat,
    verdict,
    reason: [...new Set(reason)].join('; '),
    position: port.position,
    opposite: port.opposite,
    ...coverage(port, stiffness),
    stages,
    stiffness,
    ...(port.strokes ? { strokes, breakAway } : {}),
    zeroBeforePa: facts.zeroBeforePa === null ? null : pressurePa(facts.zeroBeforePa),
    zeroAfterPa: facts.zeroAfterPa === null ? null : pressurePa(facts.zeroAfterPa),
    peakPa: facts.peakPa === null ? null : pressurePa(facts.peakPa),
    observations: facts.observations,
    collected: caught && caught.overS > 0 ? collectedResult(caught, gauge, port.collected, cup?.verdict) : null,
    events,
    earlierAttempts: [],
  };
}

/** What the plan says of the parts, less a piston seal that this hold turned out unable to show. */
function coverage(port: PortPlan, { pistonSeal }: StiffnessResult): Pick<PortResult, 'covers' | 'notCovered'> {
  const { covers, notCovered } = port;
  if (pistonSeal?.seen !== 'cannot be seen' || !covers.includes(sealName)) return { covers, notCovered };
  return { covers: covers.filter((part) => part !== sealName), notCovered: [sealName, ...notCovered] };
}

const sealName = 'piston seal';

function stageGround(stage: StageResult, port: PortPlan, stiffness: StiffnessResult): Ground {
  const reason = `${stage.name}: ${stage.reason}`;
  const airPa = stiffness.finding === 'free air' ? dissolvingPa(stage, port, stiffness.airFraction ?? 0) : 0;
  const proven = (stage.dropPa ?? 0) - (stage.dropUncertaintyPa ?? 0) - airPa > (stage.allowedDropPa ?? 0);
  if (stage.verdict !== 'fail' || airPa === 0 || proven) return { verdict: stage.verdict, reason };
  const text = `free air that goes into solution may take up to {difference:${airPa}} of it`;
  return { verdict: 'inconclusive', reason: `${reason}; ${text}` };
}

/**
 * The most that free air takes from the pressure by going into solution (Henry's law sets no bound that matters: oil
 * takes up some 9 % of its volume for every bar): all of it at once, K x share x p0/p.
 */
function dissolvingPa({ startPa }: StageResult, { trapped }: PortPlan, share: number): number {
  return (trapped.bulkModulusPa * share * atmospherePa) / ((startPa ?? 0) + atmospherePa);
}

/** Why an attempt under way can't pass any more, whatever its dwell comes to; null while it may. */
export function whyNoPass(port: PortPlan, facts: AttemptFacts, stiffness: StiffnessResult): string | null {
  const [ground] = groundsBeside(port, facts, stiffness);
  return ground?.reason ?? null;
}

/** What decides beside the decay: oil seen outside, overpressure, a zero that is off, a cylinder that isn't there. */
function groundsBeside(port: PortPlan, facts: AttemptFacts, stiffness: StiffnessResult): Ground[] {
  const grounds: Ground[] = facts.observations.filter(isExternalLeak).map((seen) => ({
    verdict: 'fail',
    reason: `oil was seen outside at the ${seen.point} (${seen.amount}${seen.amount === 'film' ? '; only the rod may have one' : ''})`,
  }));
  if (facts.overpressure)
    grounds.push({
      verdict: 'invalid',
      reason: `the pressure went to {pressure:${facts.peakPa ?? 0}}, above the limit of {pressure:${port.overpressurePa}}`,
    });
  if (!facts.zeroInTolerance)
    grounds.push({
      verdict: 'invalid',
      reason: `the vented gauge did not read zero: {difference:${facts.zeroBeforePa ?? 0}}, allowed {difference:${port.zeroTolerancePa}}`,
    });
  if (facts.openPortPa !== null)
    grounds.push({
      verdict: 'invalid',
      reason: `the other port was said to be open and stood at up to {pressure:${facts.openPortPa}}`,
    });
  if (!facts.zeroKept)
    grounds.push({
      verdict: 'inconclusive',
      reason: `the gauge did not come back to its zero: {difference:${facts.zeroBeforePa ?? 0}} before, {difference:${facts.zeroAfterPa ?? 0}} after, with {difference:${port.zeroTolerancePa}} allowed; it drifted, or pressure was still shut in`,
    });
  if (stiffness.verdict === 'too-stiff') grounds.push({ verdict: 'invalid', reason: stiffness.text });
  if (stiffness.verdict === 'too-soft') grounds.push({ verdict: 'inconclusive', reason: stiffness.text });
  return grounds;
}

/** In this dwell, at its pressure, somebody confirmed that every leak point was looked at, and did not take it back. */
export const isInspected = ({ name, dwellStartUs }: StageResult, events: readonly HoldEvent[]): boolean =>
  events.findLast(
    ({ code, stage, timeUs }) =>
      code === 'inspection-taken-back' || (code === 'inspected' && stage === name && timeUs >= (dwellStartUs ?? 0)),
  )?.code === 'inspected';

/** Where no figure decides, somebody must have looked. */
function lookGrounds(port: PortPlan, stages: readonly StageResult[], events: readonly HoldEvent[]): Ground[] {
  const byLooking = port.stages.filter(({ allowed }) => allowed.length === 0).map(({ name }) => name);
  const missed = stages.filter((stage) => byLooking.includes(stage.name) && !isInspected(stage, events));
  return missed.map(({ name }) => ({
    verdict: 'inconclusive',
    reason: `${name}: it is judged by looking, and nobody confirmed that every leak point was looked at`,
  }));
}

/** What the last dwell that was measured says was lost. */
function leakByGauge(stages: readonly StageResult[]): LeakByGauge | null {
  const { leakM3PerS = null, leakUncertaintyM3PerS = null } =
    stages.findLast((stage) => stage.leakM3PerS !== null) ?? {};
  return leakM3PerS === null || leakUncertaintyM3PerS === null
    ? null
    : { leakM3PerS, expandedU: leakUncertaintyM3PerS };
}

function collectedResult(
  { volumeM3, overS }: { readonly volumeM3: number; readonly overS: number },
  gauge: LeakByGauge | null,
  limit: CollectedDemand | undefined,
  verdict: Verdict | undefined,
): PortResult['collected'] {
  const leakM3PerS = volumeM3 / overS;
  const compared = gauge && compareCollected(gauge, leakM3PerS);
  return {
    leakM3PerS,
    volumeM3,
    overS,
    agrees: compared?.agrees ?? null,
    ...(compared ? { text: compared.text } : {}),
    ...(limit && verdict ? { limit, verdict } : {}),
  };
}

/** A port of the plan that nobody tested. */
export const untestedPort = (port: PortPlan): PortResult => ({
  port: port.port,
  attempt: 0,
  repeat: null,
  verdict: 'inconclusive',
  reason: `port ${port.port} was not tested`,
  position: port.position,
  opposite: port.opposite,
  covers: [],
  notCovered: [...port.covers, ...port.notCovered],
  stages: [],
  stiffness: {
    verdict: 'not-checked',
    seenM3PerPa: null,
    expectedM3PerPa: null,
    airFraction: null,
    text: 'not tested',
  },
  ...(port.strokes ? { strokes: [], breakAway: null } : {}),
  zeroBeforePa: null,
  zeroAfterPa: null,
  peakPa: null,
  observations: [],
  collected: null,
  events: [],
  earlierAttempts: [],
});
