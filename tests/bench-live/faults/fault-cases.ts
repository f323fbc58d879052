import { expect } from 'vitest';
import type { Verdict } from '../../../src/evaluation/index.js';
import type { GaugeFaultCode } from '../../../src/gauge/index.js';
import type { Cable } from '../../drivers/pty.js';
import { sleep } from '../../drivers/pty.js';
import { until } from '../bench-process.js';
import type { SpoiltTest } from './spoilt-test.js';
import type { GaugeTrouble, TalkingGauge } from './talking-gauge.js';

/** What somebody who spoils a test can do and see while it runs. */
export interface Spoiling {
  readonly gauge: TalkingGauge;
  readonly cable: Cable;
  readonly phase: () => string;
  /** The demanded time of a dwell is over: from here on it is only watched. */
  readonly timeOver: () => boolean;
  readonly faults: () => readonly GaugeFaultCode[];
}

/** A fault, and what a test that it falls into must have told and come to, however it was run. */
export interface FaultCase {
  readonly name: string;
  /** The vented gauge stands so far off zero, bar. */
  readonly noZero?: number;
  /** From the middle of the dwell until the pressure is let go. */
  readonly spoil: (at: Spoiling) => Promise<void>;
  /** All that was told of the gauge, in order. */
  readonly codes?: readonly GaugeFaultCode[];
  /** What was told first. */
  readonly firstCode?: GaugeFaultCode;
  /** What the operator reads. */
  readonly told: readonly (string | RegExp)[];
  readonly verdicts: readonly Verdict[];
  readonly more?: (test: SpoiltTest) => void;
}

/** A whole dwell has run. */
const dwellOver = ({ timeOver }: Spoiling): Promise<void> => until('the end of the demanded time', timeOver);
/** The dwell counts for nothing. */
const spoilt = ({ phase }: Spoiling): Promise<void> => until('the end of the spoilt dwell', () => phase() !== 'dwell');
const letGo = ({ phase }: Spoiling): Promise<void> => until('the bleed-down', () => phase() === 'bleed-down');
const toldOf = ({ faults }: Spoiling, code: GaugeFaultCode): Promise<void> =>
  until(`the fault ${code}`, () => faults().includes(code));

type Reached = (at: Spoiling) => Promise<void>;

/** Trouble for so long, then all is well again until the phases have moved on. */
const during =
  (trouble: GaugeTrouble, ms: number, reached: Reached) =>
  async (at: Spoiling): Promise<void> => {
    at.gauge.trouble = trouble;
    await sleep(ms);
    at.gauge.trouble = {};
    await reached(at);
  };

/** Trouble until the phases have moved on. */
const toTheEnd =
  (trouble: GaugeTrouble, reached: Reached) =>
  async (at: Spoiling): Promise<void> => {
    at.gauge.trouble = trouble;
    await reached(at);
    at.gauge.trouble = {};
  };

/** Readings without a value in the trace. */
const withoutValue = ({ trace }: SpoiltTest): number => trace.filter(({ pressurePa }) => pressurePa === null).length;

export const faultCases: readonly FaultCase[] = [
  {
    name: 'none: the test passes, and every reading sent stands in the record',
    spoil: dwellOver,
    codes: [],
    told: [],
    verdicts: ['pass'],
  },
  {
    name: 'the plug pulled and put back: the dwell is spoilt, invalid, and the gauge goes on being read',
    spoil: async (at) => {
      at.gauge.trouble = { silent: true };
      await sleep(300);
      await at.cable.unplug();
      await toldOf(at, 'unplugged');
      await at.cable.plugIn();
      await toldOf(at, 'replugged');
      at.gauge.startsAgain();
      await sleep(500);
    },
    codes: ['unplugged', 'replugged'],
    told: [
      /ALARM The dwell counts for nothing: the device at \S+ is gone: look at cable and power\. Another/,
      /warning: a device is back at \S+: check its serial; its zero may have moved/,
    ],
    verdicts: ['invalid'],
  },
  {
    name: 'another instrument on the same plug is not taken for it',
    spoil: async (at) => {
      at.gauge.trouble = { serial: 'BL-2002' };
      await toldOf(at, 'other-device');
      await sleep(300);
    },
    codes: ['other-device'],
    told: ['ALARM The dwell counts for nothing: the gauge says it is BL-2002, not BL-1001. Another one begins.'],
    verdicts: ['invalid'],
  },
  {
    name: 'a frozen value',
    spoil: during({ frozen: true }, 4000, spoilt),
    codes: ['frozen'],
    told: [
      /ALARM The dwell counts for nothing: the reading has stood at 6[01]\.\d+ bar for .*: noise alone would have moved it/,
    ],
    verdicts: ['invalid'],
  },
  {
    name: 'a jump of one reading is told, and the trace is judged without it',
    spoil: async (at) => {
      // On a busy computer the line may come so late that oil could have moved as far: then it is tried again.
      for (let tries = 0; tries < 6 && !at.faults().includes('jump'); tries++) {
        at.gauge.trouble = { offBar: 20, readings: 1 };
        await sleep(700);
      }
      await dwellOver(at);
    },
    codes: ['jump'],
    told: [/warning: the reading rose by (19|20)\.\d+ bar within .*: faster than oil can move/],
    verdicts: ['pass', 'inconclusive'],
  },
  {
    name: 'a jump that stays spoils the dwell as topped up',
    spoil: toTheEnd({ offBar: 2.5 }, spoilt),
    told: [/ALARM The dwell counts for nothing: the pressure rose by .* faster than oil left alone does/],
    verdicts: ['invalid'],
  },
  {
    name: 'switched to another unit: no value is read of it',
    spoil: during({ unit: 'psi', readings: 15 }, 2000, spoilt),
    firstCode: 'unit-changed',
    told: ['ALARM The dwell counts for nothing: the gauge sends psi, but bar is set. Another one begins.'],
    verdicts: ['invalid'],
    more: (test) => expect(withoutValue(test)).toBeGreaterThan(10),
  },
  {
    name: 'half the rate is told; the readings that come are judged',
    spoil: during({ oneIn: 2 }, 4000, dwellOver),
    codes: [],
    told: [/warning: readings come at \d+\.\d a second, 20\.0 are expected/],
    verdicts: ['pass'],
    more: ({ codes }) => expect(codes).toContain('rate-fallen'),
  },
  {
    name: 'wrong checksums: those lines are no readings, and the disturbed line is told',
    spoil: during({ spoilOneIn: 4 }, 4000, dwellOver),
    told: [
      /the line "BL-1001 ST .*" ends with checksum \w\w, \w\w belongs there/,
      /the checksum of \d+ lines did not agree/,
      /warning: \d+ of the last 40 lines could not be read: look at cable, shield/,
    ],
    verdicts: ['pass'],
    more: ({ codes, rawLines }) => {
      // A busy computer may hear late, which it tells as a fallen rate or as silence.
      const late: readonly GaugeFaultCode[] = ['rate-fallen', 'silent'];
      expect(new Set(codes.filter((code) => !late.includes(code)))).toEqual(new Set(['checksum', 'bad-line']));
      expect(codes.filter((code) => code === 'checksum')).toHaveLength(2);
      expect(rawLines.filter(({ accepted }) => !accepted).length).toBeGreaterThan(10);
    },
  },
  {
    name: 'silence of five seconds',
    spoil: during({ silent: true }, 5000, spoilt),
    firstCode: 'silent',
    told: [/ALARM The dwell counts for nothing: no reading for \d(\.\d)? s\. Another one begins\./],
    verdicts: ['invalid'],
    more: ({ result }) => expect(result.ports[0]?.stages[0]?.reason).toMatch(/no reading for/),
  },
  {
    name: 'silence of five seconds, and a whole dwell after it, which is judged',
    spoil: during({ silent: true }, 5000, dwellOver),
    firstCode: 'silent',
    told: [/ALARM The dwell counts for nothing: no reading for \d(\.\d)? s\. Another one begins\./],
    verdicts: ['pass'],
    more: ({ result, trace }) => {
      const { dwellStartUs, dwellEndUs } = result.ports[0]?.stages[0] ?? {};
      const times = trace
        .map(({ timeUs }) => timeUs)
        .filter((at) => at >= (dwellStartUs ?? 0) && at <= (dwellEndUs ?? 0));
      expect((dwellEndUs ?? 0) - (dwellStartUs ?? 0)).toBeGreaterThanOrEqual(10e6);
      expect(Math.max(...times.slice(1).map((at, index) => at - (times[index] ?? 0)))).toBeLessThan(2e6);
    },
  },
  {
    name: 'zero pressed on the instrument, which says so',
    spoil: during({ status: 'ZERO', offBar: -61, readings: 1 }, 500, spoilt),
    told: ['ALARM The dwell counts for nothing: the gauge was zeroed. Another one begins.'],
    verdicts: ['invalid'],
    more: ({ codes }) => expect(codes).toContain('zero-shift'),
  },
  {
    name: 'zero pressed on the instrument, which says nothing',
    spoil: async (at) => {
      // Zeroed it stays: also while the pressure is let go.
      at.gauge.trouble = { offBar: -61 };
      await letGo(at);
      await sleep(300);
    },
    told: [/ALARM Dwell void: the pressure fell to .* within the dwell/],
    verdicts: ['invalid'],
  },
  {
    name: 'over-range marks are no numbers',
    spoil: during({ mark: 'OL', readings: 8 }, 1000, spoilt),
    firstCode: 'over-range',
    told: ['ALARM The dwell counts for nothing: the gauge is over its range. Another one begins.'],
    verdicts: ['invalid'],
    more: (test) => expect(withoutValue(test)).toBeGreaterThan(0),
  },
  {
    name: 'a vented gauge that does not stand at zero',
    noZero: 0.5,
    spoil: toTheEnd({ offBar: 0.5 }, dwellOver),
    told: [/ALARM The vented gauge reads \+?0\.5\d* bar, outside its zero tolerance of /],
    verdicts: ['invalid'],
    more: ({ result }) => expect(result.ports[0]?.reason).toMatch(/the vented gauge did not read zero/),
  },
];
