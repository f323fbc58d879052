import { type Reading, readingFlags } from '../gauge/index.js';
import type { TestPlan } from '../procedure/index.js';
import { asLevel } from './level.js';
import { risePa } from './phases/ready.js';
import { RunningSignal } from './signal.js';
import type { HoldState } from './state.js';
import { portOf, stageOf } from './turn.js';

const unusable = readingFlags.otherUnit | readingFlags.checksum;

/**
 * Takes the readings of a dwell from `from` on as long as they change nothing but the signal: in time, within every
 * limit, and not the first of a new second, which is when steps are looked for. The state is the one that `step` would
 * have come to with each of them in turn, and none of them has an effect. `until` is the first that must go through
 * `step`; it is `from` outside a dwell.
 */
export function quietDwell(
  plan: TestPlan,
  state: HoldState,
  readings: readonly Reading[],
  from: number,
): { readonly state: HoldState; readonly until: number } {
  const { phase, facts } = state;
  const port = portOf(plan, state);
  const stage = stageOf(plan, state);
  if (phase.name !== 'dwell' || !port || !stage || facts.peakPa === null) return { state, until: from };
  const lowestPa = Math.max(0.5 * stage.targetPa, stage.neverBelowPa ?? 0);
  const highestPa = Math.min(port.overpressurePa, facts.peakPa);
  const openPa = port.opposite === 'open' ? risePa(port.zeroTolerancePa, stage.targetPa) : Number.POSITIVE_INFINITY;
  const oppositePa = Math.min(port.oppositeLimitPa, openPa);
  const dwellUs = stage.dwellS * 1e6;
  const signal = new RunningSignal(state.signal);
  let until = from;
  for (; until < readings.length; until += 1) {
    const shown = readings[until];
    if (!shown || shown.pressurePa === null || (shown.flags & unusable) !== 0) break;
    const reading = asLevel(plan, port, shown);
    const { timeUs, pressurePa } = reading;
    if (pressurePa === null || pressurePa < lowestPa || pressurePa > highestPa) break;
    if (reading.oppositePa !== null && reading.oppositePa > oppositePa) break;
    if (timeUs - phase.startUs >= dwellUs || !signal.follows(timeUs) || signal.endsSecond(timeUs)) break;
    signal.add(timeUs, pressurePa, port.overpressurePa);
  }
  return until === from ? { state, until } : { state: { ...state, signal: signal.stand() }, until };
}
