import { type ReadingColumns, readingFlags } from '../gauge/index.js';
import { gaugeAt, type TestPlan } from '../procedure/index.js';
import { risePa } from './phases/ready.js';
import { RunningSignal } from './signal.js';
import type { HoldState } from './state.js';
import { portOf, stageOf } from './turn.js';

const unusable = readingFlags.otherUnit | readingFlags.checksum;
/** Rises of a dwell that sum up to less than this share of the target void nothing (see `onDwell`). */
const harmlessRise = 0.0015;

/**
 * Takes the readings of a dwell from `from` on as long as they change nothing but the signal: in time, within every
 * limit, and with no more than a step of the gauge from one second to the next. The state is the one that `step` would
 * have come to with each of them in turn, and none of them has an effect. `until` is the first that must go through
 * `step`; it is `from` outside a dwell.
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
  if (phase.fall !== null || phase.risenPa > harmlessRise * stage.targetPa) return { state, until: from };
  if (state.strokes.open !== null) return { state, until: from };
  // A stroke can begin below this only, and only before the first dwell is over.
  const strokesPa = port.strokes && state.stageIndex === 0 ? port.strokes.belowPa + (facts.zeroBeforePa ?? 0) : 0;
  const lowestPa = Math.max(0.5 * stage.targetPa, stage.neverBelowPa ?? 0, strokesPa);
  const highestPa = Math.min(port.overpressurePa, facts.peakPa);
  const openPa = port.opposite === 'open' ? risePa(port.zeroTolerancePa, stage.targetPa) : Number.POSITIVE_INFINITY;
  const oppositePa = Math.min(port.oppositeLimitPa, openPa);
  const stepPa = gaugeAt(plan, port).resolutionPa;
  const endUs = phase.startUs + stage.dwellS * 1e6;
  const signal = new RunningSignal(state.signal);
  let until = from;
  for (; until < levels.length; until += 1) {
    const timeUs = levels.timeUs[until] as number;
    const pascals = levels.pressurePa[until] as number;
    if (!(pascals >= lowestPa && pascals <= highestPa) || ((levels.flags[until] as number) & unusable) !== 0) break;
    if ((levels.oppositePa[until] as number) > oppositePa) break;
    if (!(timeUs < endUs) || !signal.follows(timeUs) || Math.abs(signal.changeAtPa(timeUs)) > stepPa) break;
    signal.add(timeUs, pascals, port.overpressurePa);
  }
  return until === from ? { state, until } : { state: { ...state, signal: signal.stand() }, until };
}
