import { faultAt } from '../fault.js';
import type { Rule } from './rule.js';

export interface Silence {
  lastUs: number | null;
  told: boolean;
}

/** No reading for longer than the limit: told once, as soon as the limit has passed or, in a log, when it ends. */
export const silence: Rule<Silence> = {
  start: () => ({ lastUs: null, told: false }),
  step(state, input, limits) {
    if (input.kind !== 'reading' && input.kind !== 'tick') return null;
    const isReading = input.kind === 'reading';
    const nowUs = isReading ? input.reading.timeUs : input.timeUs;
    const sinceUs = nowUs - (state.lastUs ?? 0);
    const tooLong = limits.silentAfterS !== null && sinceUs > limits.silentAfterS * 1e6;
    const waitingForFirst = state.lastUs === null && isReading;
    const tell = tooLong && !state.told && !waitingForFirst;
    state.told = !isReading && (state.told || tooLong);
    if (isReading) state.lastUs = nowUs;
    return tell ? faultAt(nowUs, 'silent', `no reading for {seconds:${(sinceUs / 1e6).toFixed(1)}}`) : null;
  },
};
