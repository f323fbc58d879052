import type { DwellContext, EarlyWord } from './context.js';
import { governingLimit } from './decision.js';
import { type DecayEstimate, estimateDecay } from './estimate.js';
import type { TraceState } from './trace/dwell-trace.js';

/** Beyond this many dwells no time in sight makes the verdict clear. */
const horizonDwells = 10;

/**
 * A fall counts as certain when what has already been lost is above the limit by this many expanded uncertainties: four
 * standard uncertainties, so that asking every second for an hour does not cry wolf.
 */
const certainty = 2;

/** Before so many seconds nothing is said. */
const silentS = 10;

const silent: EarlyWord = {
  dropPa: null,
  bandPa: null,
  ratePaPerS: null,
  word: 'cannot tell yet',
  secondsForClearVerdict: null,
};

/** The running estimate at a time, from what the trace has come to. Costs the same whatever the number of readings. */
export function earlyWord(state: TraceState, context: DwellContext, nowUs: number): EarlyWord {
  const { stage, port } = context;
  const quiet: EarlyWord = stage.allowed.length === 0 ? { ...silent, word: 'judged by looking' } : silent;
  if (state.startUs === null || state.broken !== null) return quiet;
  const elapsedS = (nowUs - state.startUs) / 1e6;
  if (elapsedS < silentS) return quiet;
  const estimate = estimateDecay(state, context, { dwellS: elapsedS, holdS: elapsedS });
  if (!estimate || !Number.isFinite(estimate.judged.expandedU)) return quiet;
  const { dropPa, expandedU } = estimate.judged;
  const scale = stage.dwellS / elapsedS;
  const figures = {
    dropPa: dropPa * scale,
    bandPa: expandedU * Math.max(scale, 1),
    ratePaPerS: dropPa / elapsedS,
  };
  const limit = governingLimit(stage.allowed, estimate.shutInPa, stage.dwellS, port.trapped);
  if (!limit) return { ...figures, word: quiet.word, secondsForClearVerdict: null };
  const allowed = limit.allowedDropPa;
  if (dropPa - certainty * expandedU > allowed)
    return { ...figures, word: 'certain to fail', secondsForClearVerdict: 0 };
  const clear = Math.abs(allowed - figures.dropPa) > figures.bandPa;
  return {
    ...figures,
    word: wordFor(figures.dropPa, figures.bandPa, allowed, estimate),
    secondsForClearVerdict: clear ? 0 : secondsUntilClear(estimate, allowed, stage.dwellS),
  };
}

function wordFor(dropPa: number, bandPa: number, allowedPa: number, estimate: DecayEstimate): EarlyWord['word'] {
  if (dropPa - bandPa > allowedPa) return 'fail likely';
  if (estimate.fed !== null || estimate.speedUpPaPerS > 0) return 'cannot tell yet';
  return dropPa + bandPa <= allowedPa ? 'pass likely' : 'cannot tell yet';
}

/** How much longer until the band no longer holds the limit: a band over a dwell goes at least with time^-1. */
function secondsUntilClear(estimate: DecayEstimate, allowed: number, dwellS: number): number | null {
  const { toS, dropPa, expandedU } = estimate.judged;
  const gap = Math.abs(allowed - (dropPa * dwellS) / toS);
  const neededS = (expandedU * dwellS) / gap;
  return neededS > horizonDwells * dwellS || !(gap > 0) ? null : Math.max(0, neededS - toS);
}
