import { faultAt } from '../fault.js';
import type { Rule } from './rule.js';

/** A computer that was busy gets some lines late and then all at once: within two seconds that evens out. */
const shortestBlock = 16;
const shortestBlockS = 2;
/** Fallen below this share of what it was; told again only after it came back above the second. */
const fallenShare = 0.6;
const recoveredShare = 0.8;

export interface Rate {
  lastUs: number | null;
  /** Intervals of the block under way, and their sum in microseconds. */
  intervals: number;
  sumUs: number;
  expectedPerS: number | null;
  /** The first block is over: what had piled up before the gauge was opened comes at once in it, and tells no rate. */
  openingOver: boolean;
  fallen: boolean;
}

/** Readings come at less than 0.6 of their rate: a setting changed, or half of them are lost on the way. */
export const rate: Rule<Rate> = {
  start: () => ({ lastUs: null, intervals: 0, sumUs: 0, expectedPerS: null, openingOver: false, fallen: false }),
  step(state, input, limits) {
    if (input.kind !== 'reading' || !limits.watchRate) return null;
    const { timeUs } = input.reading;
    const { lastUs, fallen } = state;
    state.lastUs = lastUs === null ? timeUs : Math.max(timeUs, lastUs);
    if (lastUs === null) return null;
    const intervalUs = timeUs - lastUs;
    // A silence is told by its own rule, and a reading back in time by the driver.
    const tooLong = limits.silentAfterS !== null && intervalUs > limits.silentAfterS * 1e6;
    if (intervalUs <= 0 || tooLong) return null;
    state.intervals += 1;
    state.sumUs += intervalUs;
    if (state.intervals < shortestBlock || state.sumUs < shortestBlockS * 1e6) return null;
    const perS = (state.intervals * 1e6) / state.sumUs;
    const { openingOver } = state;
    state.intervals = 0;
    state.sumUs = 0;
    state.openingOver = true;
    if (!openingOver) return null;
    const expectedPerS = limits.ratePerS ?? state.expectedPerS ?? perS;
    state.expectedPerS = expectedPerS;
    state.fallen = perS < expectedPerS * (fallen ? recoveredShare : fallenShare);
    if (!state.fallen || fallen) return null;
    const text = `readings come at ${perS.toFixed(1)} a second, ${expectedPerS.toFixed(1)} are expected`;
    return faultAt(timeUs, 'rate-fallen', text);
  },
};
