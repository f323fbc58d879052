import { faultAt } from '../fault.js';
import type { Rule } from './rule.js';

/** A pause is one from this length on, and from so many of the intervals before it. */
const shortestPauseUs = 500_000;
const intervals = 5;

export interface Restart {
  lastUs: number | null;
  intervalUs: number;
  /** When anything came last, and whether nothing did for a pause since the last reading. */
  heardUs: number | null;
  paused: boolean;
  /** Something that is no reading came since then. */
  strange: boolean;
  /** The device was gone: that it may have been restarted is told with its coming back. */
  unplugged: boolean;
}

/**
 * A gauge that pauses, and says something that is no reading before it goes on, was restarted: its zero may have moved,
 * and nobody can say what the readings before and after have in common. After a silence without such a line it may have
 * been. Lines that come spoilt in the usual beat are noise; an answer that comes late, or a line of the
 * usual kind whose checksum does not agree, is no news.
 */
export const restart: Rule<Restart> = {
  start: () => ({ lastUs: null, intervalUs: 0, heardUs: null, paused: false, strange: false, unplugged: false }),
  step(state, input, limits) {
    if (input.kind === 'fault') state.unplugged ||= input.fault.code === 'unplugged';
    if (input.kind !== 'line' && input.kind !== 'reading') return null;
    const timeUs = input.kind === 'line' ? input.timeUs : input.reading.timeUs;
    const quietUs = timeUs - (state.heardUs ?? timeUs);
    state.heardUs = timeUs;
    state.paused ||= quietUs > Math.max(shortestPauseUs, intervals * state.intervalUs);
    if (input.kind === 'line') {
      state.strange ||= !input.accepted && input.known !== true;
      return null;
    }
    const { lastUs, strange, paused, unplugged } = state;
    const gapUs = lastUs === null ? 0 : timeUs - lastUs;
    const isSilence = limits.silentAfterS !== null && gapUs > limits.silentAfterS * 1e6;
    Object.assign(state, { lastUs: timeUs, paused: false, strange: false, unplugged: false });
    if (!strange && !isSilence && gapUs > 0) state.intervalUs = gapUs;
    if (lastUs === null || unplugged || (!(paused && strange) && !isSilence)) return null;
    const after = `after {seconds:${(gapUs / 1e6).toFixed(1)}}`;
    if (!strange)
      return faultAt(
        timeUs,
        'restarted',
        `readings are back ${after}: if the gauge was restarted, its zero may have moved`,
        'warn',
      );
    return faultAt(timeUs, 'restarted', `the gauge has started again ${after}: its zero may have moved`);
  },
};
