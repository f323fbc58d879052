import { square } from '../units/index.js';
import type { DwellContext, EarlyWord } from './context.js';
import { governingLimit } from './decision.js';
import { type DecayEstimate, estimateDecay } from './estimate.js';
import type { TraceState } from './trace/dwell-trace.js';

/** Beyond this many dwells no time in sight makes the verdict clear. */
const horizonDwells = 10;

/**
 * A fall counts as certain when what has already fallen is above the limit by this many expanded uncertainties: four
 * standard uncertainties, so that asking ten times a second for an hour does not cry wolf.
 */
const certainty = 2;

const silent: EarlyWord = {
  dropPa: null,
  bandPa: null,
  ratePaPerS: null,
  word: 'cannot tell yet',
  secondsForClearVerdict: null,
};

/** The early word at a time, from what the trace has come to. Costs the same whatever the number of readings. */
export function earlyWord(state: TraceState, context: DwellContext, nowUs: number): EarlyWord {
  const { stage, port } = context;
  if (state.startUs === null || state.broken !== null) return silent;
  const elapsedS = (nowUs - state.startUs) / 1e6;
  const estimate = estimateDecay(state, context, elapsedS);
  if (!estimate) return silent;
  const scale = stage.dwellS / elapsedS;
  const figures = {
    dropPa: estimate.dropPa * scale,
    bandPa: estimate.drop.expandedU * Math.max(scale, 1),
    ratePaPerS: estimate.dropPa / elapsedS,
  };
  const limit = governingLimit(stage.allowed, estimate.startPa, stage.dwellS, port.trapped);
  if (!limit) return { ...figures, word: 'cannot tell yet', secondsForClearVerdict: null };
  const allowed = limit.allowedDropPa;
  if (estimate.dropPa - certainty * estimate.drop.expandedU > allowed)
    return { ...figures, word: 'certain to fail', secondsForClearVerdict: 0 };
  const clear = Math.abs(allowed - figures.dropPa) > figures.bandPa;
  return {
    ...figures,
    word: figures.dropPa + figures.bandPa <= allowed ? 'pass likely' : 'cannot tell yet',
    secondsForClearVerdict: clear ? 0 : secondsUntilClear(estimate, allowed, stage.dwellS),
  };
}

/**
 * How much longer until the band no longer holds the limit: scatter of a slope goes with time^-3/2, the gauge's part
 * and a bound on temperature with time^-1.
 */
function secondsUntilClear(estimate: DecayEstimate, allowed: number, dwellS: number): number | null {
  const { durationS, dropPa, drop, statisticalUPa } = estimate;
  const gap = Math.abs(allowed - (dropPa * dwellS) / durationS);
  const rest = Math.max(0, square(drop.u) - square(statisticalUPa));
  const bandAt = (time: number): number =>
    drop.coverageFactor * (dwellS / time) * Math.sqrt(rest + (square(statisticalUPa) * durationS) / time);
  let low = durationS;
  let high = horizonDwells * dwellS;
  if (bandAt(high) > gap) return null;
  for (let step = 0; step < 50; step++) {
    const middle = (low + high) / 2;
    if (bandAt(middle) > gap) low = middle;
    else high = middle;
  }
  return high - durationS;
}
