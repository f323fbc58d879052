import { faultAt } from '../fault.js';
import { quiet, type Rule } from './rule.js';

const blockLength = 16;
/** Fallen below this share of what it was; told again only after it came back above the second. */
const fallenShare = 0.6;
const recoveredShare = 0.8;

interface Rate {
  readonly lastUs: number | null;
  /** Intervals of the block under way, and their sum in microseconds. */
  readonly intervals: number;
  readonly sumUs: number;
  readonly expectedPerS: number | null;
  readonly fallen: boolean;
}

/** Readings come at less than 0.6 of their rate: a setting changed, or half of them are lost on the way. */
export const rate: Rule<Rate> = {
  start: { lastUs: null, intervals: 0, sumUs: 0, expectedPerS: null, fallen: false },
  step(state, input, limits) {
    if (input.kind !== 'reading' || !limits.watchRate) return quiet(state);
    const { timeUs } = input.reading;
    const { expectedPerS, fallen } = state;
    if (state.lastUs === null) return quiet({ ...state, lastUs: timeUs });
    const intervalUs = timeUs - state.lastUs;
    // A silence is told by its own rule, and a reading back in time by the driver.
    const tooLong = limits.silentAfterS !== null && intervalUs > limits.silentAfterS * 1e6;
    if (intervalUs <= 0 || tooLong) return quiet({ ...state, lastUs: Math.max(timeUs, state.lastUs) });
    const intervals = state.intervals + 1;
    const sumUs = state.sumUs + intervalUs;
    if (intervals < blockLength) return quiet({ lastUs: timeUs, intervals, sumUs, expectedPerS, fallen });
    const perS = (blockLength * 1e6) / sumUs;
    const expected = limits.ratePerS ?? expectedPerS ?? perS;
    const isFallen = perS < expected * (fallen ? recoveredShare : fallenShare);
    const next = { lastUs: timeUs, intervals: 0, sumUs: 0, expectedPerS: expected, fallen: isFallen };
    if (!isFallen || fallen) return quiet(next);
    const text = `readings come at ${perS.toFixed(1)} a second, ${expected.toFixed(1)} are expected`;
    return { state: next, faults: [faultAt(timeUs, 'rate-fallen', text)] };
  },
};
