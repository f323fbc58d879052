import { describe, expect, it } from 'vitest';
import {
  type GaugeFault,
  type GaugeItem,
  pressurePa,
  type SupervisionInput,
  supervise,
  supervisionLimits,
  supervisionStart,
} from '../../../src/gauge/index.js';
import { longestRun } from '../../../src/gauge/supervision/frozen.js';

const bar = 1e5;
const gauge = { rangeLowPa: 0, rangeHighPa: 400 * bar, resolutionPa: 0.1 * bar, ratePerS: 10 };

function faultsOf(inputs: readonly SupervisionInput[], extra: Partial<Parameters<typeof supervisionLimits>[0]> = {}) {
  const limits = supervisionLimits({ ...gauge, ...extra });
  const told: GaugeFault[] = [];
  let state = supervisionStart();
  for (const [index, input] of inputs.entries()) {
    told.push(...supervise(state, input, limits));
    // A state kept as JSON goes on as if it had not been.
    if (index % 7 === 0) state = JSON.parse(JSON.stringify(state));
  }
  return told.map(({ code, effect, text }) => ({ code, effect, text }));
}

const reading = (timeUs: number, pressureBar: number | null): GaugeItem => ({
  kind: 'reading',
  reading: {
    timeUs,
    pressurePa: pressureBar === null ? null : pressurePa(Math.round(pressureBar * bar)),
    oppositePa: null,
    oilK: null,
    flags: 0,
  },
});
const tick = (timeUs: number): SupervisionInput => ({ kind: 'tick', timeUs });
const line = (timeUs: number, accepted: boolean): GaugeItem => ({ kind: 'line', timeUs, text: 'x', accepted });

/** Normal noise by twelve even numbers of a small generator, the same every time. */
function noise(seed: number): () => number {
  let state = seed;
  const even = () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
  return () => Array.from({ length: 12 }, even).reduce((sum, one) => sum + one, -6);
}

const displayed = (valueBar: number): number => Math.round(valueBar * 10) / 10;
const series = (count: number, valueBar: (index: number) => number, everyUs = 100_000, fromUs = 0): GaugeItem[] =>
  Array.from({ length: count }, (_, index) => reading(fromUs + index * everyUs, displayed(valueBar(index))));

describe('a gauge that works is left alone', () => {
  it('through pumping, settling, ten minutes of dwell and bleed-down', () => {
    const sigma = noise(7);
    const hold = [
      ...series(100, () => 0),
      ...series(600, (index) => index * 0.4 + 0.08 * sigma(), 100_000, 10_000_000),
      ...series(6000, (index) => 240 - index * 1e-4 + 0.08 * sigma(), 100_000, 70_000_000),
      ...series(50, (index) => Math.max(0, 236 - index * 80), 100_000, 670_000_000),
      ...series(200, () => 0, 100_000, 675_000_000),
    ];
    expect(faultsOf(hold)).toEqual([]);
  });

  it('though it shows the same digit for minutes, when its noise is far below its step', () => {
    const sigma = noise(3);
    expect(faultsOf(series(6000, () => 160.02 + 0.005 * sigma()))).toEqual([]);
  });

  it('though it is asked ten times as often as it measures', () => {
    const sigma = noise(5);
    let held = 0;
    const slow = series(6000, (index) => {
      if (index % 10 === 0) held = 200 + 0.1 * sigma();
      return held;
    });
    expect(faultsOf(slow)).toEqual([]);
  });
});

describe('silence', () => {
  it('is told while it lasts, once', () => {
    const inputs = [reading(0, 10), reading(100_000, 10), tick(1_000_000), tick(2_150_000), tick(5_000_000)];
    expect(faultsOf(inputs)).toEqual([{ code: 'silent', effect: 'void', text: 'no reading for {seconds:2.0}' }]);
  });

  it('is told of a log, where nothing ticks, when it ends', () => {
    expect(faultsOf([reading(0, 10), reading(5_000_000, 10)])).toMatchObject([
      { code: 'silent' },
      { code: 'restarted', effect: 'warn' },
    ]);
  });

  it('is no fault of a gauge that sends only when stable', () => {
    expect(faultsOf([reading(0, 10), tick(60_000_000), reading(90_000_000, 10)], { mode: 'when-stable' })).toEqual([]);
  });
});

describe('a restart', () => {
  const strange = (timeUs: number): SupervisionInput => ({ kind: 'line', timeUs, text: 'READY 1.4', accepted: false });
  const before = series(20, () => 200);

  it('is told when a pause ends with a line that is no reading, also below the limit of silence', () => {
    expect(faultsOf([...before, strange(3_000_000), reading(3_100_000, 200)])).toEqual([
      {
        code: 'restarted',
        effect: 'void',
        text: 'the gauge has started again after {seconds:1.2}: its zero may have moved',
      },
    ]);
  });

  it('is none where lines are spoilt without a pause, where a slow gauge pauses, or where the plug was pulled', () => {
    expect(faultsOf([...before, strange(1_950_000), reading(2_000_000, 200)])).toEqual([]);
    expect(faultsOf([...series(20, () => 200, 1_000_000), strange(19_500_000), reading(20_000_000, 200)])).toEqual([]);
    const gone: SupervisionInput = {
      kind: 'fault',
      fault: { timeUs: 2_000_000, code: 'unplugged', text: 'gone', effect: 'void' },
    };
    expect(faultsOf([...before, gone, strange(2_900_000), reading(3_000_000, 200)])).toEqual([]);
  });

  it('is none where noise spoils every line for a second, nor where an answer comes late', () => {
    const spoilt = Array.from({ length: 10 }, (_, index) => strange(2_000_000 + index * 100_000));
    expect(faultsOf([...before, ...spoilt, reading(3_000_000, 200)])).toEqual([]);
    const late: SupervisionInput = { kind: 'line', timeUs: 3_000_000, text: '200.0', accepted: false, known: true };
    expect(faultsOf([...before, late, reading(3_300_000, 200)])).toEqual([]);
  });

  it('is told where the gauge says its name at once and then takes its time', () => {
    expect(faultsOf([...before, strange(2_100_000), reading(3_500_000, 200)])).toMatchObject([{ code: 'restarted' }]);
  });
});

describe('a frozen value', () => {
  it('is told when the noise learned before would have moved it', () => {
    const sigma = noise(11);
    const live = series(600, () => 250 + 0.1 * sigma());
    const stuck = series(100, () => 250, 100_000, 60_000_000);
    expect(faultsOf([...live, ...stuck])).toMatchObject([{ code: 'frozen', effect: 'void' }]);
  });

  it('is told from the first minute when the noise is known', () => {
    expect(
      faultsOf(
        series(40, () => 250),
        { noisePa: 0.1 * bar },
      ),
    ).toMatchObject([{ code: 'frozen' }]);
  });

  it('is no fault of a vented gauge', () => {
    expect(
      faultsOf(
        series(5000, () => 0),
        { noisePa: 0.1 * bar },
      ),
    ).toEqual([]);
  });

  // p = erf(d / (2 sqrt 2 sigma)), n = ln 1e-9 / ln p; erf from published tables: erf(0.35) = 0.37938, erf(0.36) = 0.38933
  it('takes 22 equal readings when noise equals the step', () => {
    expect(longestRun(1e4, 1e4)).toBe(22);
    expect(longestRun(1e5, 1e4)).toBe(20);
    expect(longestRun(500, 1e4)).toBe(Number.POSITIVE_INFINITY);
    expect(longestRun(null, 1e4)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('a jump', () => {
  it('upwards is told at once', () => {
    const inputs = [...series(20, () => 100), ...series(20, () => 300, 100_000, 2_000_000)];
    expect(faultsOf(inputs)).toEqual([
      {
        code: 'jump',
        effect: 'warn',
        text: 'the reading rose by {difference:20000000} within {seconds:0.1}: faster than oil can move',
      },
    ]);
  });

  it('of one reading, up or down, is told once', () => {
    for (const spike of [100, 350]) {
      const inputs = series(40, (index) => (index === 20 ? spike : 240));
      expect(faultsOf(inputs)).toMatchObject([{ code: 'jump' }]);
    }
  });

  it('is none when oil is let out and the next reading comes late', () => {
    const late = [reading(2_000_000, 230), reading(2_600_000, 225), reading(2_700_000, 220)];
    expect(faultsOf([...series(20, () => 240), ...late])).toEqual([]);
  });

  it('downwards that stays is oil let out', () => {
    expect(faultsOf([...series(20, () => 240), ...series(20, () => 0, 100_000, 2_000_000)])).toEqual([]);
  });
});

describe('range', () => {
  it('its end is over-range, told once until it is left', () => {
    const inputs = series(60, (index) => (index >= 20 && index < 40 ? 400 : 390));
    expect(faultsOf(inputs)).toMatchObject([{ code: 'over-range', effect: 'void' }]);
  });

  it('below its start is under-range, below a vacuum a wrong zero', () => {
    expect(
      faultsOf(
        series(5, () => -5),
        { rangeLowPa: 0 },
      ),
    ).toMatchObject([{ code: 'zero-shift', effect: 'void' }]);
    expect(
      faultsOf(
        series(5, () => 90),
        { rangeLowPa: 100 * bar },
      ),
    ).toMatchObject([{ code: 'under-range' }]);
  });
});

describe('the rate', () => {
  it('fallen to half is told, and told again only after it came back', () => {
    const inputs = [
      ...series(50, () => 1),
      ...series(50, () => 1, 200_000, 5_000_000),
      ...series(50, () => 1, 100_000, 15_000_000),
      ...series(50, () => 1, 200_000, 20_000_000),
    ];
    const told = faultsOf(inputs);
    expect(told.map((fault) => fault.code)).toEqual(['rate-fallen', 'rate-fallen']);
    expect(told[0]?.text).toMatch(/^readings come at [56]\.\d a second, 10\.0 are expected$/);
  });

  it('is learned when nobody set it', () => {
    const limits = { ...supervisionLimits({ rangeLowPa: 0, rangeHighPa: 4e7, resolutionPa: 1e4 }) };
    expect(limits.ratePerS).toBeNull();
    const state = supervisionStart();
    const codes: string[] = [];
    for (const input of [...series(150, () => 1, 20_000), ...series(100, () => 1, 50_000, 3_000_000)]) {
      codes.push(...supervise(state, input, limits).map((fault) => fault.code));
    }
    expect(codes).toEqual(['rate-fallen']);
  });
});

it('a backlog that comes at once when the gauge is opened is not taken for its rate', () => {
  const limits = supervisionLimits({ rangeLowPa: 0, rangeHighPa: 4e7, resolutionPa: 1e4 });
  const state = supervisionStart();
  const inputs = [...series(120, () => 1, 1_000), ...series(400, () => 1, 20_000, 120_000)];
  expect(inputs.flatMap((input) => supervise(state, input, limits))).toEqual([]);
});

it('a fifth of the lines bad is told in words', () => {
  const lines = Array.from({ length: 80 }, (_, index) => line(index * 1000, index % 5 !== 0));
  expect(faultsOf(lines)).toEqual([
    {
      code: 'bad-line',
      effect: 'warn',
      text: '8 of the last 40 lines could not be read: look at cable, shield and line settings',
    },
  ]);
});
