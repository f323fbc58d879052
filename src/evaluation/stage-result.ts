import { pressureDifferencePa, pressurePa } from '../units/index.js';
import { compareStages, stagesComparedFlag } from './compare-stages.js';
import type { DwellContext } from './context.js';
import { governingLimit } from './decision.js';
import { diagnose } from './diagnosis.js';
import { type DecayEstimate, estimateDecay } from './estimate.js';
import { flagsOf } from './flags.js';
import { type LeakRate, leakWithUncertainty } from './leak.js';
import { levelPa } from './level.js';
import type { StageResult, Verdict } from './result.js';
import type { TraceState } from './trace/dwell-trace.js';
import { levelBudget, levelUncertainty } from './uncertainty/gauge-part.js';
import { verdictOf } from './verdict.js';

/** How a dwell ended. */
export interface DwellEnd {
  readonly endUs: number;
  /** The operator or the source ended it before its time. */
  readonly cutShort: boolean;
  /** Why the dwell counts for nothing (topped up, valve moved, gap, gauge fault), or null. */
  readonly voided: string | null;
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
  const dwellS = (end.endUs - startUs) / 1e6;
  if (!(dwellS > 0))
    return { ...bare, reason: end.voided ?? 'the dwell has no length: it ended no later than its first reading' };
  const estimate = estimateDecay(state, context, dwellS);
  if (!estimate)
    return {
      ...bare,
      dwellS,
      reason:
        end.voided ??
        `only ${state.used} usable readings at different times; a fall and its uncertainty take at least 3`,
    };
  const cutShort = end.cutShort || dwellS < 0.999 * stage.dwellS - 1e-6;
  const leak = leakWithUncertainty(context.port.trapped, estimate.dropPa, estimate.drop, dwellS);
  return evaluated(bare, state, context, { ...end, cutShort }, estimate, leak);
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
  const { durationS: dwellS, dropPa, drop, startPa, endPa, thermal } = estimate;
  const limit = governingLimit(stage.allowed, startPa, stage.dwellS, port.trapped);
  const perPa = port.trapped.volumeM3 / port.trapped.bulkModulusPa / dwellS;
  const judged = verdictOf({
    context,
    dwellS,
    cutShort: end.cutShort,
    startPa,
    endPa,
    dropPa,
    dropUncertaintyPa: drop.expandedU,
    leakDropUncertaintyPa: leak.expandedU / perPa,
    drawUpPa: estimate.drawUpPa,
    lowestPa: levelPa(context, state.lowestPa + noiseMargin * state.noisePa),
    highestPa: levelPa(context, state.highestPa - noiseMargin * state.noisePa),
    limit,
  });
  const voided = end.voided === null ? null : { verdict: 'invalid' as const, reason: end.voided };
  const flags = flagsOf(state, estimate, leak, context, limit?.allowedDropPa ?? null);
  if (end.cutShort)
    flags.push({ code: 'cut-short', text: `The dwell lasted {seconds:${dwellS}} of {seconds:${stage.dwellS}}.` });
  const result: StageResult = {
    ...bare,
    ...(voided ?? judged),
    startPa: pressurePa(startPa),
    endPa: pressurePa(endPa),
    dwellS,
    dropPa: pressureDifferencePa(dropPa),
    dropUncertaintyPa: pressureDifferencePa(drop.expandedU),
    coverageFactor: drop.coverageFactor,
    ratePaPerS: dropPa / dwellS,
    rateUncertaintyPaPerS: drop.expandedU / dwellS,
    temperatureCorrected: thermal !== null,
    thermalDropPa: thermal ? pressureDifferencePa(thermal.dropPa) : null,
    temperatureToExplainK: Math.abs(dropPa) / port.trapped.thermalPaPerK,
    leakM3PerS: leak.leakM3PerS,
    leakUncertaintyM3PerS: leak.expandedU,
    allowedDropPa: limit?.allowedDropPa ?? null,
    governingLimit: limit?.limit ?? null,
    smallestResolvableDropPa: pressureDifferencePa((drop.expandedU * stage.dwellS) / dwellS),
    budget: [...estimate.budget, ...leak.budget, ...bare.budget],
    diagnosis: diagnose(state, estimate, context, limit?.allowedDropPa ?? null),
    flags,
  };
  return withComparison(result, context.previousStages);
}

/** Adds how this stage's leak stands to that of the latest earlier stage whose leak was clear. */
function withComparison(result: StageResult, previous: readonly StageResult[]): StageResult {
  const comparison = previous.map((earlier) => compareStages(earlier, result)).findLast(({ ratio }) => ratio !== null);
  return comparison ? { ...result, flags: [...result.flags, stagesComparedFlag(comparison)] } : result;
}
