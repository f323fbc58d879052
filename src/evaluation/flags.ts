import type { DwellContext } from './context.js';
import type { DecayEstimate } from './estimate.js';
import type { LeakRate } from './leak.js';
import type { EvaluationFlag } from './result.js';
import { gathered } from './shape/series.js';
import { theilSen } from './statistics/theil-sen.js';
import type { TraceState } from './trace/dwell-trace.js';
import { spikeRule } from './trace/spike-watch.js';
import { riseFactor } from './verdict.js';

/** Fewer readings than this and the scatter is poorly known. */
const fewReadings = 20;
/** Points of the second opinion: all readings up to 1024 of them, else means of neighbours. */
const secondOpinionPoints = 256;
/** Above this share of exactly level pairs the second opinion has nothing to say. */
const tiedShare = 0.2;
/** A gas-free liquid keeps at most this share of a fast rise as heat: mineral oil loses some 12 % (29.4 of 250 bar). */
const heatShare = 0.15;

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
  const { trend, durationS, series } = estimate;
  const flags: EvaluationFlag[] = [];
  if (trend.noise.slopeFactor > 1.5)
    flags.push({
      code: 'correlated-noise',
      text: `Neighbouring readings resemble each other: ${state.used} of them are worth ${Math.max(1, Math.round(state.used / trend.noise.slopeFactor))}.`,
    });
  if (!estimate.fits)
    flags.push({
      code: 'not-one-line',
      text: 'Neither a line nor settling nor a step fits this trace; the drop is taken between its two ends. Look at the trace.',
    });
  else if (trend.weight.line < 0.05)
    flags.push({
      code: 'not-one-line',
      text:
        trend.weight.step > trend.weight.settling
          ? `The trace has a step of {difference:${Math.abs(trend.bestStep?.sizePa ?? 0)}}; the fall is not one line.`
          : `The trace bends; the rate at the end differs from that at the start, and the rate given is their mean.${oneConstant(trend)}`,
    });
  if (estimate.fits && trend.weight.line >= 0.5) {
    const points = state.used === series.t.length ? series : gathered(series, secondOpinionPoints);
    const robust = theilSen(points.t, points.y);
    const apart = Math.abs(robust.slope - estimate.slopePaPerS) * durationS;
    if (robust.tied < tiedShare && apart > 4 * estimate.statisticalUPa && apart > 1e-9 * Math.abs(estimate.startPa))
      flags.push({
        code: 'second-opinion-differs',
        text: `A robust line (Theil and Sen) gives a drop of {difference:${-robust.slope * durationS}}: {difference:${apart}} from least squares. Look at the trace.`,
      });
  }
  return flags;
}

/** Residuals this alike beside a fitted settling mean that it has more than one time constant, or wandering noise. */
const alike = 0.5;

const oneConstant = (trend: DecayEstimate['trend']): string =>
  trend.noise.lagOne > alike ? ' One time constant does not describe it either: what is left wanders.' : '';

function temperatureFlags(estimate: DecayEstimate, context: DwellContext): EvaluationFlag[] {
  const flags: EvaluationFlag[] = [];
  const { thermalPaPerK } = context.port.trapped;
  if (!estimate.thermal)
    flags.push({
      code: 'temperature-not-measured',
      text: `Oil temperature not measured: a change of {kelvin:${Math.abs(estimate.dropPa) / thermalPaPerK}} would explain the whole change of pressure.`,
    });
  else if (estimate.thermal.refused)
    flags.push({
      code: 'temperature-not-the-cause',
      text: 'The pressure bends with the temperature more than oil and walls can make it: something else bends too. The stated coefficient was used.',
    });
  const { bestSettling, weight } = estimate.trend;
  const { ramp } = context;
  if (ramp && bestSettling && weight.settling > 0.5) {
    const rise = ramp.toPa - ramp.fromPa;
    const heat =
      bestSettling.sizePa > 0 && bestSettling.sizePa <= heatShare * rise && ramp.seconds < 2 * bestSettling.atS;
    if (heat)
      flags.push({
        code: 'heat-of-compression',
        text: `Pumped up by {difference:${rise}} in {seconds:${ramp.seconds}}, and the fall dies away with {seconds:${bestSettling.atS}}: this looks like heat of compression leaving the oil.`,
      });
  }
  return flags;
}

function gaugeFlags(estimate: DecayEstimate, context: DwellContext, allowedDropPa: number | null): EvaluationFlag[] {
  const flags: EvaluationFlag[] = [];
  const resolution = estimate.budget.find((line) => line.name === 'resolution')?.u ?? 0;
  if (resolution > 0.5 * estimate.drop.u)
    flags.push({
      code: 'coarse-resolution',
      text: `Steps of {difference:${context.gauge.resolutionPa}} make up most of the uncertainty.`,
    });
  if (allowedDropPa !== null && allowedDropPa < estimate.drop.expandedU)
    flags.push({
      code: 'limit-below-resolution',
      text: `The limit of {difference:${allowedDropPa}} is below the {difference:${estimate.drop.expandedU}} that this dwell could resolve.`,
    });
  if (estimate.dropPa < -riseFactor * estimate.drop.expandedU)
    flags.push({ code: 'rising', text: `The pressure rose by {difference:${-estimate.dropPa}} during the dwell.` });
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
