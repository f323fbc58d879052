import { readingFlags } from '../reading.js';
import { readMark } from './no-value.js';

/** What a status word says of the reading beside it. */
export interface StatusMeaning {
  /** Bits of {@link readingFlags}; 0 for a live, good reading. */
  readonly flags: number;
  /** The value may be kept. */
  readonly live: boolean;
  /** The instrument was zeroed at this moment. */
  readonly zeroed: boolean;
  readonly words: string;
}

const good: StatusMeaning = { flags: 0, live: true, zeroed: false, words: 'live' };
const notLive = (words: string): StatusMeaning => ({ flags: readingFlags.notLive, live: false, zeroed: false, words });
const peak = (words: string): StatusMeaning => ({ flags: readingFlags.otherUnit, live: false, zeroed: false, words });

/** Words met on gauges; case does not matter. Common practice, no source. A setting may add or change some. */
const known: Readonly<Record<string, StatusMeaning>> = {
  '': good,
  OK: good,
  ST: good,
  RUN: good,
  LIVE: good,
  NORM: good,
  NORMAL: good,
  G: good,
  '0': good,
  '00': good,
  US: good,
  HOLD: notLive('holding a value'),
  HLD: notLive('holding a value'),
  H: notLive('holding a value'),
  MENU: notLive('in its menu'),
  CAL: notLive('in its calibration menu'),
  WARM: notLive('warming up'),
  INIT: notLive('starting up'),
  START: notLive('starting up'),
  STBY: notLive('standing by'),
  PEAK: peak('showing a peak value'),
  PK: peak('showing a peak value'),
  MAX: peak('showing a peak value'),
  MIN: peak('showing a minimum value'),
  AVG: peak('showing an average'),
  ZERO: { ...good, zeroed: true, words: 'zeroed' },
  TARE: { flags: readingFlags.otherUnit, live: false, zeroed: true, words: 'showing a tared value' },
};

export type StatusName = 'live' | 'hold' | 'peak' | 'over' | 'under' | 'no-value' | 'zeroed';
const byName: Readonly<Record<StatusName, StatusMeaning>> = {
  live: good,
  hold: notLive('holding a value'),
  peak: peak('showing a peak value'),
  over: { flags: readingFlags.overRange, live: false, zeroed: false, words: 'over its range' },
  under: { flags: readingFlags.underRange, live: false, zeroed: false, words: 'under its range' },
  'no-value': { flags: readingFlags.noValue, live: false, zeroed: false, words: 'without a value' },
  zeroed: { ...good, zeroed: true, words: 'zeroed' },
};

/** The meaning of a status word, the shop's own words first; undefined for a word nobody has explained. */
export function readStatus(word: string, own: Readonly<Record<string, StatusName>> = {}): StatusMeaning | undefined {
  const bare = word.trim();
  const ownName = Object.hasOwn(own, bare) ? own[bare] : undefined;
  if (ownName !== undefined) return byName[ownName];
  const upper = bare.toUpperCase();
  if (Object.hasOwn(known, upper)) return known[upper];
  const mark = readMark(bare);
  return mark && { flags: mark.flag, live: false, zeroed: false, words: mark.words };
}
