import type { GaugeFault } from '../driver.js';
import { faultAt } from '../fault.js';
import type { SupervisionLimits } from './limits.js';
import type { Rule } from './rule.js';

/** Readings within which a spike is back where it came from. */
const spikeLength = 3;

export interface Jump {
  lastUs: number | null;
  lastPa: number;
  /** A sudden fall that may be a spike, or oil let out. */
  fall: { readonly fromPa: number; readonly atUs: number; readonly toPa: number; age: number } | null;
  /** After a jump the way back is not told again. */
  muteUntilUs: number;
}

/**
 * A value that moves faster than oil can. A rise faster than any pump is told at once; a sudden fall only when it is
 * back within three readings, for oil that is let out may fall as fast as it likes.
 */
export const jump: Rule<Jump> = {
  start: () => ({ lastUs: null, lastPa: 0, fall: null, muteUntilUs: -1 }),
  step(state, input, limits) {
    if (input.kind !== 'reading' || input.reading.pressurePa === null) return null;
    const { timeUs, pressurePa } = input.reading;
    const { lastUs, lastPa, fall } = state;
    state.lastUs = timeUs;
    state.lastPa = pressurePa;
    if (lastUs === null) return null;
    const move = pressurePa - lastPa;
    const allowed = allowedMove(timeUs - lastUs, limits);
    if (fall) return afterFall(state, fall, timeUs, pressurePa);
    if (Math.abs(move) <= allowed || timeUs < state.muteUntilUs) return null;
    if (move < 0) {
      state.fall = { fromPa: lastPa, atUs: timeUs, toPa: pressurePa, age: 0 };
      return null;
    }
    state.muteUntilUs = timeUs + 500_000;
    const seconds = (timeUs - lastUs) / 1e6;
    const text = `the reading rose by {difference:${move}} within {seconds:${seconds}}: faster than oil can move`;
    return faultAt(timeUs, 'jump', text);
  },
};

/** Whether a sudden fall was a spike: back where it came from, before it is old. */
function afterFall(
  state: Jump,
  fall: NonNullable<Jump['fall']>,
  timeUs: number,
  pressurePa: number,
): GaugeFault | null {
  const back = pressurePa > fall.fromPa - 0.2 * (fall.fromPa - fall.toPa);
  fall.age += 1;
  if (back || fall.age >= spikeLength) state.fall = null;
  if (!back) return null;
  state.muteUntilUs = timeUs;
  const text = `the reading fell to {pressure:${fall.toPa}} and was back at once: a spike, faster than oil can move`;
  return faultAt(fall.atUs, 'jump', text);
}

/** Two readings very close together may still differ by noise: never less than a fiftieth of the range. */
const allowedMove = (intervalUs: number, limits: SupervisionLimits): number =>
  Math.max((limits.jumpPaPerS * intervalUs) / 1e6, 0.02 * (limits.rangeHighPa - limits.rangeLowPa));
