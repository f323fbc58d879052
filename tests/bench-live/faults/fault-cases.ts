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

const dwellOver = ({ phase }: Spoiling): Promise<void> => until('the end of the dwell', () => phase() === 'bleed-down');
const toldOf = ({ faults }: Spoiling, code: GaugeFaultCode): Promise<void> =>
  until(`the fault ${code}`, () => faults().includes(code));

/** Trouble for so long, then all is well again until the phases have moved on. */
const during =
  (trouble: GaugeTrouble, ms: number) =>
  async (at: Spoiling): Promise<void> => {
    at.gauge.trouble = trouble;
    await sleep(ms);
    at.gauge.trouble = {};
    await dwellOver(at);
  };

/** Trouble until the phases have moved on. */
const toTheEnd =
  (trouble: GaugeTrouble) =>
  async (at: Spoiling): Promise<void> => {
    at.gauge.trouble = trouble;
    await dwellOver(at);
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
    name: 'the plug pulled and put back: void, invalid, and the gauge goes on being read',
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
      /ALARM Dwell void: the device at \S+ is gone: look at cable and power\./,
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
    told: ['ALARM Dwell void: the gauge says it is BL-2002, not BL-1001.'],
    verdicts: ['invalid'],
  },
  {
    name: 'a frozen value',
    spoil: during({ frozen: true }, 4000),
    codes: ['frozen'],
    told: [/ALARM Dwell void: the reading has stood at 6[01]\.\d+ bar for .*: noise alone would have moved it/],
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
    name: 'a jump that stays voids the dwell as topped up',
    spoil: toTheEnd({ offBar: 2.5 }),
    told: [/ALARM Dwell void: the pressure rose by .* faster than oil left alone does/],
    verdicts: ['invalid'],
  },
  {
    name: 'switched to another unit: no value is read of it',
    spoil: during({ unit: 'psi', readings: 15 }, 2000),
    firstCode: 'unit-changed',
    told: ['ALARM Dwell void: the gauge sends psi, but bar is set.'],
    verdicts: ['invalid'],
    more: (test) => expect(withoutValue(test)).toBeGreaterThan(10),
  },
  {
    name: 'half the rate is told; the readings that come are judged',
    spoil: during({ oneIn: 2 }, 4000),
    codes: [],
    told: [/warning: readings come at \d+\.\d a second, 20\.0 are expected/],
    verdicts: ['pass'],
    more: ({ codes }) => expect(codes).toContain('rate-fallen'),
  },
  {
    name: 'wrong checksums: those lines are no readings, and the disturbed line is told',
    spoil: during({ spoilOneIn: 4 }, 4000),
    told: [
      /the line "BL-1001 ST .*" ends with checksum \w\w, \w\w belongs there/,
      /the checksum of \d+ lines did not agree/,
      /warning: \d+ of the last 40 lines could not be read: look at cable, shield/,
    ],
    verdicts: ['pass'],
    more: ({ codes, rawLines }) => {
      expect(new Set(codes.filter((code) => code !== 'rate-fallen'))).toEqual(new Set(['checksum', 'bad-line']));
      expect(codes.filter((code) => code === 'checksum')).toHaveLength(2);
      expect(rawLines.filter(({ accepted }) => !accepted).length).toBeGreaterThan(10);
    },
  },
  {
    name: 'silence of five seconds',
    spoil: during({ silent: true }, 5000),
    firstCode: 'silent',
    told: [/ALARM Dwell void: no reading for \d(\.\d)? s\./],
    verdicts: ['invalid'],
  },
  {
    name: 'zero pressed on the instrument, which says so',
    spoil: during({ status: 'ZERO', offBar: -61, readings: 1 }, 500),
    told: ['ALARM Dwell void: the gauge was zeroed.'],
    verdicts: ['invalid'],
    more: ({ codes }) => expect(codes).toContain('zero-shift'),
  },
  {
    name: 'zero pressed on the instrument, which says nothing',
    spoil: async (at) => {
      // Zeroed it stays: also while the pressure is let go.
      at.gauge.trouble = { offBar: -61 };
      await dwellOver(at);
      await sleep(300);
    },
    told: [/ALARM Dwell void: the pressure fell to .* within the dwell/],
    verdicts: ['invalid'],
  },
  {
    name: 'over-range marks are no numbers',
    spoil: during({ mark: 'OL', readings: 8 }, 1000),
    firstCode: 'over-range',
    told: ['ALARM Dwell void: the gauge is over its range.'],
    verdicts: ['invalid'],
    more: (test) => expect(withoutValue(test)).toBeGreaterThan(0),
  },
  {
    name: 'a vented gauge that does not stand at zero',
    noZero: 0.5,
    spoil: toTheEnd({ offBar: 0.5 }),
    told: [/ALARM The vented gauge reads \+?0\.5\d* bar, outside its zero tolerance of /],
    verdicts: ['invalid'],
    more: ({ result }) => expect(result.ports[0]?.reason).toMatch(/the vented gauge did not read zero/),
  },
];
