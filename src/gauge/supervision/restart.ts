import { faultAt } from '../fault.js';
import type { Rule } from './rule.js';

/** A gap is one from this length on, and from so many of the intervals before it. */
const shortestGapUs = 500_000;
const intervals = 5;

export interface Restart {
  lastUs: number | null;
  intervalUs: number;
  /** A line that is no reading came since the last one. */
  strange: boolean;
  /** The device was gone: that it may have been restarted is told with its coming back. */
  unplugged: boolean;
}

/**
 * A gauge that pauses, and says something that is no reading before it goes on, was restarted: its zero may have moved,
 * and nobody can say what the readings before and after have in common. After a silence without such a line it may have
 * been.
 */
export const restart: Rule<Restart> = {
  start: () => ({ lastUs: null, intervalUs: 0, strange: false, unplugged: false }),
  step(state, input, limits) {
    if (input.kind === 'line') state.strange ||= !input.accepted;
    if (input.kind === 'fault') state.unplugged ||= input.fault.code === 'unplugged';
    if (input.kind !== 'reading') return null;
    const { timeUs } = input.reading;
    const { lastUs, intervalUs, strange, unplugged } = state;
    const gapUs = lastUs === null ? 0 : timeUs - lastUs;
    const isGap = gapUs > Math.max(shortestGapUs, intervals * intervalUs);
    const isSilence = limits.silentAfterS !== null && gapUs > limits.silentAfterS * 1e6;
    Object.assign(state, { lastUs: timeUs, strange: false, unplugged: false });
    if (!strange && !isSilence && gapUs > 0) state.intervalUs = gapUs;
    if (unplugged || (!(isGap && strange) && !isSilence)) return null;
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
