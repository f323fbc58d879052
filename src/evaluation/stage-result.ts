import { driftM } from '../hydraulics/index.js';
import type { PortPlan } from '../procedure/index.js';
import { pressureDifferencePa, pressurePa } from '../units/index.js';
import { compareStages, stagesComparedFlag } from './compare-stages.js';
import type { DwellContext } from './context.js';
import { letGoFrom, releaseS } from './course/release.js';
import { governingLimit, levelPa } from './decision.js';
import { diagnose } from './diagnosis.js';
import { type DecayEstimate, estimateDecay } from './estimate.js';
import { flagsOf } from './flags.js';
import { type LeakRate, leakWithUncertainty } from './leak.js';
import type { StageResult, Verdict } from './result.js';
import type { TraceState } from './trace/dwell-trace.js';
import { levelBudget, levelUncertainty } from './uncertainty.js';
import { byLooking, verdictOf } from './verdict.js';

/** How a dwell ended. */
export interface DwellEnd {
  readonly endUs: number;
  /** The operator or the source ended it before its time. */
  readonly cutShort: boolean;
  /** Why the dwell counts for nothing (topped up, gap, gauge fault), or null. */
  readonly voided: string | null;
  /** Void because the pressure was let go: the hold ends where that began. */
  readonly released?: boolean;
  /** What of the trace after the dwell belongs to the hold; absent: all of it. */
  readonly tail?: 'none' | 'all' | 'released';
  /** What was lost before stays proven, although the dwell is void. */
  readonly lossCounts?: boolean;
  /** Falls within seconds after which the pressure held again. */
  readonly suddenFalls?: number;
}

/** A stage that has no evaluated dwell: it did not settle, never began, or its trace is useless. */
export function stageNotReached(context: DwellContext, verdict: Verdict, reason: string): StageResult {
  const { stage, gauge } = context;
  return {
    name: stage.name,
    verdict,
    reason,
    targetPa: stage.targetPa,
    startPa: null,
    endPa: null,
    levelUncertaintyPa: levelUncertainty(gauge),
    dwellS: null,
    demandedDwellS: stage.dwellS,
    dwellStartUs: null,
    dwellEndUs: null,
    readings: 0,
    dropPa: null,
    dropUncertaintyPa: null,
    coverageFactor: null,
    ratePaPerS: null,
    rateUncertaintyPaPerS: null,
    temperatureCorrected: false,
    thermalDropPa: null,
    temperatureToExplainK: null,
    leakM3PerS: null,
    leakUncertaintyM3PerS: null,
    allowedDropPa: null,
    governingLimit: null,
    decision: stage.decision,
    smallestResolvableDropPa: null,
    budget: levelBudget(gauge),
    diagnosis: null,
    flags: [],
  };
}

/** The result of a dwell from what its trace has come to. */
export function stageResult(state: TraceState, context: DwellContext, end: DwellEnd): StageResult {
  const { stage } = context;
  const bare = {
    ...stageNotReached(context, 'invalid', ''),
    readings: state.used,
    dwellStartUs: state.startUs,
    dwellEndUs: Number.isFinite(end.endUs) ? end.endUs : null,
  };
  if (state.broken !== null) return { ...bare, reason: state.broken };
  const startUs = state.startUs;
  if (startUs === null) return { ...bare, reason: end.voided ?? 'the dwell has no readings' };
  const { blocks } = state;
  const lastS = Math.max(0, blocks.timeS[blocks.length - 1] ?? 0);
  const letGo = end.released === true || end.tail === 'released';
  const shutInS = letGo ? releaseS(blocks, releaseRate(context, end.released === true)) : lastS;
  const fullS = (end.endUs - startUs) / 1e6;
  const letGoS = end.tail === 'released' ? letGoFrom(blocks, leastRelease * stage.targetPa) : Number.POSITIVE_INFINITY;
  const dwellS = Math.min(fullS, end.released ? shutInS : letGoS);
  if (!(dwellS > 0))
    return { ...bare, reason: end.voided ?? 'the dwell has no length: it ended no later than its first reading' };
  const holdS = end.tail === 'none' ? Math.min(dwellS, lastS) : Math.max(shutInS, Math.min(dwellS, lastS));
  const estimate = estimateDecay(state, context, { dwellS, holdS });
  const measured = estimate !== null && Number.isFinite(estimate.judged.expandedU + estimate.judged.dropPa);
  const timeOver = !end.cutShort && end.voided === null && dwellS >= 0.999 * stage.dwellS;
  if (!measured && stage.allowed.length === 0 && timeOver && state.used > 0)
    return { ...bare, ...levelsOnly(state, context, dwellS) };
  if (!estimate)
    return {
      ...bare,
      dwellS,
      reason:
        end.voided ??
        `only ${state.used} usable readings at different times; a fall and its uncertainty take at least 3`,
    };
  if (!Number.isFinite(estimate.judged.expandedU) || !Number.isFinite(estimate.judged.dropPa))
    return { ...bare, dwellS, reason: 'no uncertainty can be stated for these readings' };
  const cutShort = end.cutShort || dwellS < 0.999 * stage.dwellS - 1e-6;
  const leak = leakWithUncertainty(
    context.port.trapped,
    estimate.judged.dropPa,
    estimate.judged,
    estimate.judged.toS - estimate.judged.fromS,
  );
  return evaluated(bare, state, context, { ...end, cutShort }, estimate, leak);
}

/** Too short for a fall with its uncertainty, and judged by looking: time and level are what it shows. */
function levelsOnly({ blocks, noisePa }: TraceState, context: DwellContext, dwellS: number) {
  const shown = Array.from(blocks.pressure.subarray(0, blocks.length)).filter(
    (_, i) => (blocks.timeS[i] ?? 0) <= dwellS,
  );
  const level = (pa: number | undefined) => pressurePa(levelPa(context, pa ?? 0));
  const lowestPa = level(Math.min(...shown) + noiseMargin * noisePa);
  return {
    startPa: level(shown[0]),
    endPa: level(shown.at(-1)),
    dwellS,
    ...byLooking({ context, dwellS, lowestPa }, ''),
  };
}

/** A pressure that is let go in mid-dwell falls by at least this share of the target in a second; a gross leak does not. */
const leastRelease = 0.01;
/** After the demanded time a fall so many times as fast as the limit allows is the release. */
const overLimit = 5;

/** From which rate a fall that goes on to the end is the release, Pa/s. */
function releaseRate({ stage, port }: DwellContext, inDwell: boolean): number {
  const limit = governingLimit(stage.allowed, stage.targetPa, stage.dwellS, port.trapped);
  if (inDwell || !limit) return leastRelease * stage.targetPa;
  return (overLimit * limit.allowedDropPa) / stage.dwellS;
}

/** Standard deviations of noise that a single lowest or highest reading may owe to chance. */
const noiseMargin = 4;

function evaluated(
  bare: StageResult,
  state: TraceState,
  context: DwellContext,
  end: DwellEnd,
  estimate: DecayEstimate,
  leak: LeakRate,
): StageResult {
  const { stage, port } = context;
  const { judged: loss, startPa, endPa, thermal, settlingPa } = estimate;
  const dwellS = loss.toS - loss.fromS;
  const startUs = (state.startUs ?? 0) + Math.round(loss.fromS * 1e6);
  const limit = governingLimit(stage.allowed, estimate.shutInPa, stage.dwellS, port.trapped);
  const perPa = port.trapped.volumeM3 / port.trapped.bulkModulusPa / dwellS;
  const letGo = end.released === true || end.tail === 'released';
  const [lowest, highest] = letGo ? [Math.min(startPa, endPa), startPa] : [state.lowestPa, state.highestPa];
  const judged = verdictOf({
    context,
    dwellS,
    cutShort: end.cutShort,
    estimate,
    leakUPerDropU: loss.expandedU > 0 ? leak.expandedU / perPa / loss.expandedU : 1,
    lowestPa: levelPa(context, lowest + noiseMargin * state.noisePa),
    highestPa: levelPa(context, highest - noiseMargin * state.noisePa),
    suddenFalls: end.suddenFalls ?? 0,
    limit,
  });
  const proven = judged.verdict === 'fail' && end.lossCounts === true;
  const flags = flagsOf(state, estimate, leak, context, limit?.allowedDropPa ?? null);
  if (end.cutShort)
    flags.push({ code: 'cut-short', text: `The dwell lasted {seconds:${dwellS}} of {seconds:${stage.dwellS}}.` });
  const result: StageResult = {
    ...bare,
    ...(end.voided === null || proven ? judged : { verdict: 'invalid' as const, reason: end.voided }),
    startPa: pressurePa(startPa),
    endPa: pressurePa(endPa),
    dwellS,
    dwellStartUs: startUs,
    dwellEndUs: loss.fromS > 0 || end.released ? startUs + Math.round(dwellS * 1e6) : bare.dwellEndUs,
    dropPa: pressureDifferencePa(loss.dropPa),
    dropUncertaintyPa: pressureDifferencePa(loss.expandedU),
    coverageFactor: loss.coverageFactor,
    ratePaPerS: loss.dropPa / dwellS,
    rateUncertaintyPaPerS: loss.expandedU / dwellS,
    temperatureCorrected: thermal !== null,
    thermalDropPa: thermal ? pressureDifferencePa(thermal.dropPa) : null,
    temperatureToExplainK: Math.abs(loss.dropPa) / port.trapped.thermalPaPerK,
    leakM3PerS: leak.leakM3PerS,
    leakUncertaintyM3PerS: leak.expandedU,
    ...rodDrift(port, leak),
    allowedDropPa: limit?.allowedDropPa ?? null,
    governingLimit: limit?.limit ?? null,
    judged: stage.judge ?? 'leak',
    plainDropPa: pressureDifferencePa(estimate.plainDropPa),
    settlingDropPa: settlingPa === null ? null : pressureDifferencePa(settlingPa),
    smallestResolvableDropPa: pressureDifferencePa((loss.expandedU * stage.dwellS) / dwellS),
    budget: [...loss.budget, ...leak.budget, ...bare.budget],
    diagnosis: diagnose(state, estimate, context, limit?.allowedDropPa ?? null),
    flags,
  };
  return withComparison(result, context.previousStages);
}

/** Drift is told over this time, s. */
const driftS = 600;

/** A leak that is told from none, as a drift of the rod. */
const rodDrift = ({ pistonAreaM2 }: PortPlan, { leakM3PerS, expandedU }: LeakRate): Pick<StageResult, 'rodDriftM'> =>
  pistonAreaM2 !== undefined && pistonAreaM2 > 0 && leakM3PerS > expandedU
    ? { rodDriftM: driftM(leakM3PerS * driftS, pistonAreaM2) }
    : {};

/** Adds how this stage's leak stands to that of the latest earlier stage whose leak was clear. */
function withComparison(result: StageResult, previous: readonly StageResult[]): StageResult {
  const comparison = previous.map((earlier) => compareStages(earlier, result)).findLast(({ ratio }) => ratio !== null);
  return comparison ? { ...result, flags: [...result.flags, stagesComparedFlag(comparison)] } : result;
}
