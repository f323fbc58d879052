import { describe, expect, it } from 'vitest';
import type { GaugeFaultCode } from '../../../src/gauge/index.js';
import { sleep } from '../../drivers/pty.js';
import { until } from '../bench-process.js';
import { runSpoilt, type Spoiling, type SpoiltTest } from './faulty-bench.js';
import type { GaugeTrouble } from './talking-gauge.js';

/** In the middle of the dwell. */
async function inDwell({ phase }: Spoiling): Promise<void> {
  await until('the dwell', () => phase() === 'dwell');
  await sleep(3000);
}

/** Trouble from the middle of the dwell for so long, then all is well again until the phases have moved on. */
const during =
  (trouble: GaugeTrouble, ms: number) =>
  async (at: Spoiling): Promise<void> => {
    await inDwell(at);
    at.gauge.trouble = trouble;
    await sleep(ms);
    at.gauge.trouble = {};
    await until('the end of the dwell', () => at.phase() === 'bleed-down');
  };

/** What was told, in order; on a computer that is busy lines may come late, which is no fault of this gauge. */
const codesOf = ({ faults }: SpoiltTest): GaugeFaultCode[] =>
  faults.map(({ code }) => code).filter((code) => code !== 'rate-fallen');

/** What was sent and could be read is what stands in the record, in order; nothing in it was not sent. */
function nothingLost({ sent, trace, rawLines, problems }: SpoiltTest, partial = 1): void {
  const whole = sent.filter(({ pressurePa }) => pressurePa !== undefined).slice(partial);
  const stored = trace.map(({ pressurePa }) => pressurePa);
  expect(stored.length).toBeGreaterThan(200);
  expect(stored).toEqual(whole.slice(0, stored.length).map(({ pressurePa }) => pressurePa));
  // Only what was under way when the test ended is not there.
  expect(whole.length - stored.length).toBeLessThan(25);
  expect(rawLines.map(({ text }) => text)).toEqual(sent.slice(0, rawLines.length).map(({ text }) => text));
  expect(rawLines.filter(({ accepted }) => accepted)).toHaveLength(stored.length);
  expect(problems).toEqual([]);
}

const verdictOf = ({ result }: SpoiltTest): string => result.verdict;
/** What the operator read, blanks that hold figure and unit together as plain ones. */
const told = ({ said }: SpoiltTest): string => said.join('\n').replace(/[\u00a0\u202f]/g, ' ');

describe.concurrent('a fault in a running test', { timeout: 90_000 }, () => {
  it('none: the test passes, and every reading sent stands in the record', async () => {
    const test = await runSpoilt(async (at) => {
      await inDwell(at);
      await until('the end of the dwell', () => at.phase() === 'bleed-down');
    });
    expect(codesOf(test)).toEqual([]);
    expect(verdictOf(test)).toBe('pass');
    nothingLost(test);
  });

  it('the plug pulled and put back: void, invalid, and the gauge goes on being read', async () => {
    let sentBefore = 0;
    const test = await runSpoilt(async (at) => {
      await inDwell(at);
      at.gauge.trouble = { silent: true };
      await sleep(300);
      sentBefore = at.gauge.sent.length;
      await at.cable.unplug();
      await until('the fault', () => at.faults.some(({ code }) => code === 'unplugged'));
      await at.cable.plugIn();
      await until('the gauge back', () => at.faults.some(({ code }) => code === 'replugged'));
      at.gauge.trouble = {};
      await sleep(500);
    });
    expect(codesOf(test)).toEqual(['unplugged', 'replugged']);
    expect(told(test)).toMatch(/ALARM Dwell void: the device at \S+ is gone: look at cable and power\./);
    expect(told(test)).toMatch(/warning: a device is back at \S+; check by its serial that it is the same gauge/);
    expect(verdictOf(test)).toBe('invalid');
    // The first line after the plug was put back may be half a line, and is kept as raw text alone.
    const sent = test.sent.map((line, index) => (index === sentBefore ? { ...line, pressurePa: undefined } : line));
    nothingLost({ ...test, sent });
  });

  it('another instrument on the same plug is not taken for it', async () => {
    const test = await runSpoilt(async (at) => {
      await inDwell(at);
      at.gauge.trouble = { serial: 'BL-2002' };
      await until('the fault', () => at.faults.some(({ code }) => code === 'other-device'));
      await sleep(300);
    });
    expect(codesOf(test)).toEqual(['other-device']);
    expect(told(test)).toContain('ALARM Dwell void: the gauge says it is BL-2002, not BL-1001.');
    expect(verdictOf(test)).toBe('invalid');
    nothingLost(test);
  });

  it('a frozen value', async () => {
    const test = await runSpoilt(during({ frozen: true }, 4000));
    expect(codesOf(test)).toEqual(['frozen']);
    expect(told(test)).toMatch(
      /ALARM Dwell void: the reading has stood at 6[01]\.\d+ bar for .*: noise alone would have moved it/,
    );
    expect(verdictOf(test)).toBe('invalid');
    nothingLost(test);
  });

  it('a jump of one reading is told, and the trace is judged without it', async () => {
    const test = await runSpoilt(during({ offBar: 20, readings: 1 }, 500));
    expect(codesOf(test)).toEqual(['jump']);
    expect(told(test)).toMatch(/warning: the reading rose by (19|20)\.\d+ bar within .*: faster than oil can move/);
    expect(['pass', 'inconclusive']).toContain(verdictOf(test));
    nothingLost(test);
  });

  it('a jump that stays voids the dwell as topped up', async () => {
    const test = await runSpoilt(async (at) => {
      await inDwell(at);
      at.gauge.trouble = { offBar: 2.5 };
      await until('the end of the dwell', () => at.phase() === 'bleed-down');
      at.gauge.trouble = {};
    });
    expect(told(test)).toMatch(/ALARM Dwell void: the pressure rose by .* faster than oil left alone does/);
    expect(verdictOf(test)).toBe('invalid');
    nothingLost(test);
  });

  it('switched to another unit: no value is read of it', async () => {
    const test = await runSpoilt(during({ unit: 'psi', readings: 15 }, 2000));
    expect(codesOf(test)[0]).toBe('unit-changed');
    expect(told(test)).toContain('ALARM Dwell void: the gauge sends psi, but bar is set.');
    expect(verdictOf(test)).toBe('invalid');
    expect(test.trace.filter(({ pressurePa }) => pressurePa === null).length).toBeGreaterThan(10);
    nothingLost(test);
  });

  it('half the rate is told; the readings that come are judged', async () => {
    const test = await runSpoilt(during({ oneIn: 2 }, 4000));
    expect(test.faults.map(({ code }) => code)).toContain('rate-fallen');
    expect(codesOf(test)).toEqual([]);
    expect(told(test)).toMatch(/warning: readings come at \d+\.\d a second, 20\.0 are expected/);
    expect(verdictOf(test)).toBe('pass');
    nothingLost(test);
  });

  it('wrong checksums: those lines are no readings, and the disturbed line is told', async () => {
    const test = await runSpoilt(during({ spoilOneIn: 4 }, 4000));
    expect(new Set(codesOf(test))).toEqual(new Set(['checksum', 'bad-line']));
    expect(told(test)).toMatch(/the line "BL-1001 ST .*" ends with checksum \w\w, \w\w belongs there/);
    expect(codesOf(test).filter((code) => code === 'checksum')).toHaveLength(2);
    expect(told(test)).toMatch(/the checksum of \d+ lines did not agree/);
    expect(told(test)).toMatch(/warning: \d+ of the last 40 lines could not be read: look at cable, shield/);
    expect(verdictOf(test)).toBe('pass');
    expect(test.rawLines.filter(({ accepted }) => !accepted).length).toBeGreaterThan(10);
    nothingLost(test);
  });

  it('silence of five seconds', async () => {
    const test = await runSpoilt(during({ silent: true }, 5000));
    expect(codesOf(test)[0]).toBe('silent');
    expect(told(test)).toMatch(/ALARM Dwell void: no reading for \d(\.\d)? s\./);
    expect(verdictOf(test)).toBe('invalid');
    nothingLost(test);
  });

  it('zero pressed on the instrument, which says so', async () => {
    const test = await runSpoilt(during({ status: 'ZERO', offBar: -61, readings: 1 }, 500));
    expect(codesOf(test)).toContain('zero-shift');
    expect(told(test)).toContain('ALARM Dwell void: the gauge was zeroed.');
    expect(verdictOf(test)).toBe('invalid');
    nothingLost(test);
  });

  it('zero pressed on the instrument, which says nothing', async () => {
    const test = await runSpoilt(async (at) => {
      await inDwell(at);
      at.gauge.trouble = { offBar: -61 };
      await until('the end of the dwell', () => at.phase() === 'bleed-down');
      await sleep(300);
    });
    expect(told(test)).toMatch(/ALARM Dwell void: the pressure fell to .* within the dwell/);
    expect(verdictOf(test)).toBe('invalid');
    nothingLost(test);
  });

  it('over-range marks are no numbers', async () => {
    const test = await runSpoilt(during({ mark: 'OL', readings: 8 }, 1000));
    expect(codesOf(test)[0]).toBe('over-range');
    expect(told(test)).toContain('ALARM Dwell void: the gauge is over its range.');
    expect(verdictOf(test)).toBe('invalid');
    expect(test.trace.some(({ pressurePa }) => pressurePa === null)).toBe(true);
    nothingLost(test);
  });

  it('a vented gauge that does not stand at zero', async () => {
    const test = await runSpoilt(
      async (at) => {
        await inDwell(at);
        await until('the end of the dwell', () => at.phase() === 'bleed-down');
        at.gauge.trouble = {};
      },
      { noZero: 0.5 },
    );
    expect(told(test)).toMatch(/ALARM The vented gauge reads \+?0\.5\d* bar, outside its zero tolerance of /);
    expect(verdictOf(test)).toBe('invalid');
    expect(test.result.ports[0]?.reason).toMatch(/the vented gauge did not read zero/);
    nothingLost(test);
  });
});
