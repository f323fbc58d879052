import type { DwellContext } from './context.js';
import { governingLimit } from './decision.js';
import type { DecayEstimate } from './estimate.js';
import type { LeakRate } from './leak.js';
import type { EvaluationFlag } from './result.js';
import { gathered } from './shape/series.js';
import { theilSen } from './statistics/lines.js';
import type { TraceState } from './trace/dwell-trace.js';
import { spikeRule } from './trace/spike-watch.js';
import { riseFactor } from './verdict.js';

/** Fewer readings than this and the scatter is poorly known. */
const fewReadings = 20;
/** Points of the second opinion: all readings up to 1024 of them, else means of neighbours. */
const secondOpinionPoints = 256;
/** Above this share of exactly level pairs the second opinion has nothing to say. */
const tiedShare = 0.2;

/** What a reader should know besides the figures. */
export function flagsOf(
  state: TraceState,
  estimate: DecayEstimate,
  leak: LeakRate,
  context: DwellContext,
  allowedDropPa: number | null,
): EvaluationFlag[] {
  return [
    ...readingFlagsOf(state),
    ...fitFlags(state, estimate),
    ...temperatureFlags(estimate, context),
    ...gaugeFlags(estimate, context, allowedDropPa),
    ...benchFlags(leak, context),
    ...levelFlags(estimate, context),
    ...stoppedFlags(estimate, allowedDropPa, context),
    notSeen,
  ];
}

function readingFlagsOf(state: TraceState): EvaluationFlag[] {
  const flags: EvaluationFlag[] = [];
  if (state.spikes > 0)
    flags.push({
      code: 'spikes',
      count: state.spikes,
      text: `${state.spikes} readings left out as spikes, the largest {difference:${state.greatestSpikePa}} off; rule: ${spikeRule}.`,
    });
  const unused = state.leftOut + state.duplicates;
  if (unused > 0)
    flags.push({
      code: 'left-out',
      count: unused,
      text: `${state.leftOut} readings without a usable value and ${state.duplicates} with the time of the one before were left out.`,
    });
  if (state.used < fewReadings)
    flags.push({
      code: 'few-readings',
      count: state.used,
      text: `Only ${state.used} readings: the scatter is poorly known.`,
    });
  return flags;
}

function fitFlags(state: TraceState, estimate: DecayEstimate): EvaluationFlag[] {
  const { fit, series, judged, holdS } = estimate;
  const { scatter } = fit.best;
  const flags: EvaluationFlag[] = [];
  if (scatter.wanderPa > 0)
    flags.push({
      code: 'correlated-noise',
      text: `The readings wander by {difference:${scatter.wanderPa}} over {seconds:${scatter.wanderS}}; the uncertainty allows for it.`,
    });
  if (estimate.speedUpPaPerS > 0)
    flags.push({
      code: 'sped-up',
      text: `The fall sped up by {rate:${estimate.speedUpPaPerS}} within the hold. Look at the chart.`,
    });
  else if (bendOf(fit, holdS) > 2 * judged.u)
    flags.push({
      code: 'not-one-line',
      text: 'The trace bends; the rate at the end differs from that at the start, and the rate given is their mean.',
    });
  if (scatter.bend === 0 && fit.best.explanation.term === null) {
    const points = state.used === series.t.length ? series : gathered(series, secondOpinionPoints);
    const robust = theilSen(points.t, points.y);
    const apart = Math.abs(-robust.slope * (judged.toS - judged.fromS) - judged.dropPa);
    if (robust.tied < tiedShare && apart > 4 * estimate.scatterUPa && apart > 1e-9 * Math.abs(estimate.startPa))
      flags.push({
        code: 'second-opinion-differs',
        text: `A robust line (Theil and Sen) gives a drop of {difference:${-robust.slope * (judged.toS - judged.fromS)}}: {difference:${apart}} from least squares. Look at the trace.`,
      });
  }
  return flags;
}

/** How far the loss at half time is from half of the loss, Pa: 0 for a straight line. */
const bendOf = (fit: DecayEstimate['fit'], holdS: number): number =>
  Math.abs(fit.lossAt(holdS) / 2 - fit.lossAt(holdS / 2));

/** A probe counts as not following the oil from this weight on. */
const doubted = 0.95;

function temperatureFlags(estimate: DecayEstimate, context: DwellContext): EvaluationFlag[] {
  const flags: EvaluationFlag[] = [];
  const { thermalPaPerK } = context.port.trapped;
  const { settlingPa, probeDoubt, judged } = estimate;
  if (probeDoubt > doubted)
    flags.push({
      code: 'probe-does-not-follow',
      text: 'The oil thermometer does not follow the oil: heat of compression explains the pressure better than its readings. Check where it sits. Its readings were not used.',
    });
  else if (!estimate.thermal)
    flags.push({
      code: 'temperature-not-measured',
      text:
        context.stage.allowed.length === 0
          ? 'Oil temperature not measured.'
          : `Oil temperature not measured: oil that warms by {kelvin:${hidingK(estimate, context)}} would hide a leak at the limit.`,
    });
  if (settlingPa !== null && settlingPa > 2 * judged.u)
    flags.push({
      code: 'heat-of-compression',
      text: `Of the {difference:${estimate.plainDropPa}} that the pressure fell, {difference:${settlingPa}} is heat of compression leaving the oil and creep of seals and hoses, as the course itself tells; {kelvin:${settlingPa / thermalPaPerK}} of cooling would do that.`,
    });
  return flags;
}

/** Warming that would hide a leak at the limit, or the whole drop where there is no limit, K. */
function hidingK(estimate: DecayEstimate, { stage, port }: DwellContext): number {
  const limit = governingLimit(stage.allowed, estimate.shutInPa, stage.dwellS, port.trapped);
  return Math.max(0, limit?.allowedDropPa ?? Math.abs(estimate.judged.dropPa)) / port.trapped.thermalPaPerK;
}

function gaugeFlags(estimate: DecayEstimate, context: DwellContext, allowedDropPa: number | null): EvaluationFlag[] {
  const flags: EvaluationFlag[] = [];
  const resolution = estimate.judged.budget.find((line) => line.name === 'resolution')?.u ?? 0;
  if (resolution > 0.5 * estimate.judged.u)
    flags.push({
      code: 'coarse-resolution',
      text: `Steps of {difference:${context.gauge.resolutionPa}} make up most of the uncertainty.`,
    });
  if (allowedDropPa !== null && allowedDropPa < estimate.judged.expandedU)
    flags.push({
      code: 'limit-below-resolution',
      text: `The limit of {difference:${allowedDropPa}} is below the {difference:${estimate.judged.expandedU}} that this dwell could resolve.`,
    });
  if (estimate.judged.dropPa < -riseFactor * estimate.judged.expandedU)
    flags.push({
      code: 'rising',
      text: `The pressure rose by {difference:${-estimate.judged.dropPa}} during the dwell.`,
    });
  return flags;
}

function benchFlags(leak: LeakRate, context: DwellContext): EvaluationFlag[] {
  const bench = context.benchCheckLeakM3PerS;
  if (bench === null || leak.leakM3PerS <= leak.expandedU) return [];
  if (leak.leakM3PerS - bench > leak.expandedU) return [];
  return [
    {
      code: 'bench-leak',
      text: `The bench itself lost {flow:${bench}} against plugged lines: {flow:${leak.leakM3PerS}} ± {flow:${leak.expandedU}} can't be told from it.`,
    },
  ];
}

function levelFlags(estimate: DecayEstimate, context: DwellContext): EvaluationFlag[] {
  const { stage, port } = context;
  const lowest = Math.min(estimate.startPa, estimate.endPa);
  const highest = Math.max(estimate.startPa, estimate.endPa);
  const flags: EvaluationFlag[] = [];
  const floor = stage.neverBelowPa ?? stage.targetPa - stage.belowPa;
  const fromStart = stage.neverBelowPa === undefined ? estimate.startPa : lowest;
  if (fromStart < floor)
    flags.push({
      code: 'below-test-pressure',
      text: `The gauge read {pressure:${fromStart}}, below {pressure:${floor}}.`,
    });
  if (highest > port.overpressurePa)
    flags.push({
      code: 'above-limit',
      text: `The gauge read {pressure:${highest}}, above {pressure:${port.overpressurePa}}.`,
    });
  return flags;
}

/** The first part of a hold in which a fall that stops at once is looked for, s, and the share that must then be still. */
const earlyS = 25;

/** A fall over the limit that stops at once: as if a valve between gauge and cylinder was shut. */
function stoppedFlags(estimate: DecayEstimate, allowedDropPa: number | null, context: DwellContext): EvaluationFlag[] {
  const { holdS, judged, cells } = estimate;
  if (allowedDropPa === null || holdS < 4 * earlyS || judged.dropPa > allowedDropPa) return [];
  const at = (fromS: number, toS: number): number => meanBetween(cells, fromS, toS);
  const early = (at(0, 5) - at(earlyS, 2 * earlyS)) / earlyS;
  const late = (at(earlyS, 2 * earlyS) - at(holdS - earlyS, holdS)) / (holdS - 2 * earlyS);
  const clear = early * earlyS > 6 * estimate.scatterUPa + 2 * context.gauge.resolutionPa;
  if (early < allowedDropPa / context.stage.dwellS || Math.abs(late) > 0.1 * early || !clear) return [];
  return [
    {
      code: 'fall-stopped',
      text: `The pressure first fell at {rate:${early}} and then stood still. Check that no valve between gauge and cylinder was shut: a shut valve always holds.`,
    },
  ];
}

/** What no hold on one gauge can show; a reader must know it. */
const notSeen: EvaluationFlag = {
  code: 'not-seen',
  text: 'The readings alone cannot show a valve shut between gauge and cylinder, or oil fed in exactly as fast as it leaks.',
};

function meanBetween(
  { t, y }: { readonly t: Float64Array; readonly y: Float64Array },
  fromS: number,
  toS: number,
): number {
  const within = Array.from(y).filter((_, i) => (t[i] ?? 0) >= fromS && (t[i] ?? 0) <= toS);
  return within.length > 0 ? within.reduce((sum, one) => sum + one, 0) / within.length : Number.NaN;
}
