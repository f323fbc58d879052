import { type ReadingColumns, readingFlags } from '../gauge/index.js';
import { gaugeAt, type TestPlan } from '../procedure/index.js';
import { risePa } from './phases/ready.js';
import { stepLimits } from './phases/step-limits.js';
import { RunningSignal } from './signal.js';
import type { HoldState } from './state.js';
import { portOf, stageOf } from './turn.js';

const unusableFlags = readingFlags.otherUnit | readingFlags.checksum;
/** One reading can lower the signal's noise by no more than a 64th. */
const leastOfNoise = 0.98;

/**
 * Takes the readings of a dwell from `from` on as long as they change nothing but the signal: in time, within every
 * limit, and with nothing from one second to the next that `onDwell` would remember. The state is the one that `step`
 * would have come to with each of them in turn, and none of them has an effect. `until` is the first that must go
 * through `step`; it is `from` outside a dwell.
 * @param levels corrected readings
 */
export function quietDwell(
  plan: TestPlan,
  state: HoldState,
  levels: ReadingColumns,
  from: number,
): { readonly state: HoldState; readonly until: number } {
  const { phase, facts } = state;
  const port = portOf(plan, state);
  const stage = stageOf(plan, state);
  if (phase.name !== 'dwell' || !port || !stage || facts.peakPa === null) return { state, until: from };
  const { targetPa } = stage;
  if (phase.fall !== null) return { state, until: from };
  const openPa = port.opposite === 'open' ? risePa(port.zeroTolerancePa, targetPa) : Number.POSITIVE_INFINITY;
  const { resolutionPa } = gaugeAt(plan, port);
  const setting = { targetPa, resolutionPa };
  const signal = new RunningSignal(state.signal);
  const until = signal.addQuiet(levels, from, {
    lowestPa: Math.max(0.5 * targetPa, stage.neverBelowPa ?? 0),
    highestPa: Math.min(port.overpressurePa, facts.peakPa),
    oppositePa: Math.min(port.oppositeLimitPa, openPa),
    unusableFlags,
    endUs: phase.startUs + stage.dwellS * 1e6,
    quiet(changePa, roughnessPa) {
      const limits = stepLimits(setting, leastOfNoise * roughnessPa);
      return changePa <= limits.risePa && -changePa <= limits.fallPa;
    },
  });
  return until === from ? { state, until } : { state: { ...state, signal: signal.stand() }, until };
}
