import { faultAt } from '../fault.js';
import type { SupervisionLimits } from './limits.js';
import { quiet, type Rule } from './rule.js';

/** Readings within which a spike is back where it came from. */
const spikeLength = 3;

interface Jump {
  readonly last: { readonly timeUs: number; readonly pressurePa: number } | null;
  /** A sudden fall that may be a spike, or oil let out. */
  readonly fall: { readonly fromPa: number; readonly atUs: number; readonly toPa: number; readonly age: number } | null;
  /** After a jump the way back is not told again. */
  readonly muteUntilUs: number;
}

/**
 * A value that moves faster than oil can. A rise faster than any pump is told at once; a sudden fall only when it is
 * back within three readings, for oil that is let out may fall as fast as it likes.
 */
export const jump: Rule<Jump> = {
  start: { last: null, fall: null, muteUntilUs: -1 },
  step(state, input, limits) {
    if (input.kind !== 'reading' || input.reading.pressurePa === null) return quiet(state);
    const { timeUs, pressurePa } = input.reading;
    const now = { timeUs, pressurePa };
    const { fall, muteUntilUs } = state;
    if (state.last === null) return quiet({ last: now, fall, muteUntilUs });
    const move = pressurePa - state.last.pressurePa;
    const allowed = allowedMove(timeUs - state.last.timeUs, limits);
    if (fall) {
      const back = Math.abs(pressurePa - fall.fromPa) < Math.max(allowed, 0.2 * (fall.fromPa - fall.toPa));
      if (back) {
        const text = `the reading fell to {pressure:${fall.toPa}} and was back at once: a spike, faster than oil can move`;
        return {
          state: { last: now, fall: null, muteUntilUs: timeUs },
          faults: [faultAt(fall.atUs, 'jump', text)],
        };
      }
      const age = fall.age + 1;
      return quiet({ last: now, fall: age >= spikeLength ? null : { ...fall, age }, muteUntilUs });
    }
    if (Math.abs(move) <= allowed || timeUs < muteUntilUs) return quiet({ last: now, fall, muteUntilUs });
    if (move < 0)
      return quiet({
        last: now,
        fall: { fromPa: state.last.pressurePa, atUs: timeUs, toPa: pressurePa, age: 0 },
        muteUntilUs,
      });
    const seconds = (timeUs - state.last.timeUs) / 1e6;
    const text = `the reading rose by {difference:${move}} within {seconds:${seconds}}: faster than oil can move`;
    return { state: { last: now, fall: null, muteUntilUs: timeUs + 500_000 }, faults: [faultAt(timeUs, 'jump', text)] };
  },
};

/** Two readings very close together may still differ by noise: never less than a fiftieth of the range. */
const allowedMove = (intervalUs: number, limits: SupervisionLimits): number =>
  Math.max((limits.jumpPaPerS * intervalUs) / 1e6, 0.02 * (limits.rangeHighPa - limits.rangeLowPa));
