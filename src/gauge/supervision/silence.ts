import { faultAt } from '../fault.js';
import { quiet, type Rule } from './rule.js';

interface Silence {
  readonly lastUs: number | null;
  readonly told: boolean;
}

/** No reading for longer than the limit: told once, as soon as the limit has passed or, in a log, when it ends. */
export const silence: Rule<Silence> = {
  start: { lastUs: null, told: false },
  step(state, input, limits) {
    if (input.kind !== 'reading' && input.kind !== 'tick') return quiet(state);
    const nowUs = input.kind === 'reading' ? input.reading.timeUs : input.timeUs;
    const sinceUs = nowUs - (state.lastUs ?? 0);
    const tooLong = limits.silentAfterS !== null && sinceUs > limits.silentAfterS * 1e6;
    const waitingForFirst = state.lastUs === null && input.kind === 'reading';
    const faults =
      tooLong && !state.told && !waitingForFirst
        ? [faultAt(nowUs, 'silent', `no reading for {seconds:${(sinceUs / 1e6).toFixed(1)}}`)]
        : [];
    const next = input.kind === 'reading' ? { lastUs: nowUs, told: false } : { ...state, told: state.told || tooLong };
    return { state: next, faults };
  },
};
