import { faultAt } from '../fault.js';
import { quiet, type Rule } from './rule.js';

const windowLength = 16;
/** Fallen below this share of what it was; told again only after it came back above the second. */
const fallenShare = 0.6;
const recoveredShare = 0.8;

interface Rate {
  readonly lastUs: number | null;
  /** The last intervals, microseconds, newest last. */
  readonly intervalsUs: readonly number[];
  readonly expectedPerS: number | null;
  readonly fallen: boolean;
}

/** Readings come at less than 0.6 of their rate: a setting changed, or half of them are lost on the way. */
export const rate: Rule<Rate> = {
  start: { lastUs: null, intervalsUs: [], expectedPerS: null, fallen: false },
  step(state, input, limits) {
    if (input.kind !== 'reading' || !limits.watchRate) return quiet(state);
    const { timeUs } = input.reading;
    if (state.lastUs === null) return quiet({ ...state, lastUs: timeUs });
    const intervalUs = timeUs - state.lastUs;
    // A silence is told by its own rule.
    const tooLong = limits.silentAfterS !== null && intervalUs > limits.silentAfterS * 1e6;
    if (intervalUs <= 0 || tooLong) return quiet({ ...state, lastUs: Math.max(timeUs, state.lastUs) });
    const intervalsUs = [...state.intervalsUs.slice(1 - windowLength), intervalUs];
    if (intervalsUs.length < windowLength) return quiet({ ...state, lastUs: timeUs, intervalsUs });
    const perS = (windowLength * 1e6) / intervalsUs.reduce((sum, one) => sum + one, 0);
    const expectedPerS = limits.ratePerS ?? state.expectedPerS ?? perS;
    const share = perS / expectedPerS;
    const fallen = state.fallen ? share < recoveredShare : share < fallenShare;
    const next = { lastUs: timeUs, intervalsUs, expectedPerS, fallen };
    if (!fallen || state.fallen) return quiet(next);
    const text = `readings come at ${perS.toFixed(1)} a second, ${expectedPerS.toFixed(1)} are expected`;
    return { state: next, faults: [faultAt(timeUs, 'rate-fallen', text)] };
  },
};
