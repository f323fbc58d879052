import { describe, expect, it } from 'vitest';
import { judge } from '../../src/evaluation/index.js';
import { type Reading, ReadingColumns, readingFlags } from '../../src/gauge/index.js';
import type { HoldInputs, HoldStretch } from '../../src/holdtest/index.js';
import type { TestPlan } from '../../src/procedure/index.js';
import { pressureDifferencePa, pressurePa, temperatureK } from '../../src/units/index.js';
import { samplePlan, samplePort, sampleStage } from '../holdtest/sample-plan.js';
import { asInputs, drawTrace, type Leg, plainHold } from '../holdtest/sample-trace.js';
import { seeded } from '../record/sample-test.js';

const column = (values: readonly (number | null)[]): Float64Array =>
  Float64Array.from(values, (value) => value ?? Number.NaN);

const columnsOf = (readings: readonly Reading[]): ReadingColumns =>
  new ReadingColumns(
    column(readings.map(({ timeUs }) => timeUs)),
    column(readings.map((reading) => reading.pressurePa)),
    column(readings.map(({ oppositePa }) => oppositePa)),
    column(readings.map(({ oilK }) => (oilK === null ? null : Math.round(oilK * 1000)))),
    column(readings.map(({ flags }) => flags)),
  );

/** The same inputs in stretches of so many readings. */
function inStretches(readings: readonly Reading[], size: number): HoldInputs {
  const stretches: HoldStretch[] = [];
  for (let at = 0; at < readings.length; at += size)
    stretches.push({ readings: columnsOf(readings.slice(at, at + size)) });
  stretches.push({ input: { kind: 'end', timeUs: readings.at(-1)?.timeUs ?? 0, why: 'end of trace' } });
  return { [Symbol.iterator]: () => asInputs(readings)[Symbol.iterator](), stretches: () => stretches };
}

/** Wild readings, missing ones, marks, a second one at the same time and oil: whatever a line brings, here and there. */
function disturbed(readings: readonly Reading[], seed: number, often: number): Reading[] {
  const random = seeded(seed);
  return readings.map((reading, index): Reading => {
    const oil = { ...reading, oilK: temperatureK((298_150 + (index % 900)) / 1000) };
    if (random() > often) return oil;
    const by = random();
    if (by < 0.2) return { ...oil, pressurePa: null, flags: readingFlags.noValue };
    if (by < 0.4) return { ...oil, flags: readingFlags.checksum };
    if (by < 0.6) return { ...oil, pressurePa: pressurePa((oil.pressurePa ?? 0) + Math.round(8e5 * random())) };
    if (by < 0.8) return { ...oil, timeUs: oil.timeUs - 100_000 };
    return { ...oil, oppositePa: pressurePa(Math.round(4e5 * random())) };
  });
}

const withOther = (readings: readonly Reading[]): Reading[] =>
  readings.map((reading, index) => ({ ...reading, oppositePa: pressurePa(100 * (index % 50)) }));

const gap = (readings: readonly Reading[], fromS: number, toS: number): Reading[] =>
  readings.filter(({ timeUs }) => timeUs < fromS * 1e6 || timeUs > toS * 1e6);

const toppedUp: Leg[] = [
  { s: 5, toBar: 0 },
  { s: 48, toBar: 242 },
  { s: 90, toBar: 240 },
  { s: 1, toBar: 246 },
  { s: 80, toBar: 245 },
];

/** Strokes of a pump too small to void the dwell by themselves, and noise of several steps of the gauge. */
const noisyStrokes = (bySteps: number): Reading[] =>
  drawTrace(
    [
      { s: 5, toBar: 0 },
      { s: 48, toBar: 242 },
      { s: 90, toBar: 240 },
      ...Array.from({ length: 6 }, (_, index): Leg[] => [
        { s: 1, toBar: 240 + 0.14 * bySteps * (index + 1) },
        { s: 24, toBar: 240 + 0.12 * bySteps * (index + 1) },
      ]).flat(),
    ],
    { rippleBar: 0.12 },
  );

const plain = samplePlan();
const settled = { ratePaPerS: 5e5 / 60, forS: 30, giveUpAfterS: 600 };
const leaky = samplePlan({ ports: [samplePort({ stages: [sampleStage({ stabilise: settled })] })] });
const kept = sampleStage({ stabilise: settled, neverBelowPa: pressurePa(239e5) });
const keptAbove = samplePlan({ ports: [samplePort({ stages: [kept] })] });
const corrected: TestPlan = {
  ...plain,
  corrections: 'applied',
  gauge: {
    ...plain.gauge,
    calibration: {
      certificate: 'K-1',
      laboratory: 'Ullock Calibration',
      date: '2026-01-10',
      due: '2027-01-10',
      corrections: [
        { atPa: pressurePa(0), addPa: pressureDifferencePa(1200) },
        { atPa: pressurePa(400e5), addPa: pressureDifferencePa(90_000) },
      ],
    },
  },
};

/** A first stage that is held just where a slow stroke could begin, reached from zero between two readings. */
const stroked = samplePlan({
  attendance: 'attended',
  ports: [
    samplePort({
      strokes: { wanted: 1, restS: 120, belowPa: pressurePa(60e5) },
      stages: [sampleStage({ targetPa: pressurePa(60e5), stabilise: settled, dwellS: 120 })],
    }),
  ],
});
const atTheStrokes = [
  ...Array.from({ length: 8 }, () => 0),
  ...Array.from({ length: 80 }, () => 61),
  ...[60.7, 60.4, 60.2],
  ...Array.from({ length: 60 }, () => 60),
  ...Array.from({ length: 30 }, () => 60.1),
  ...Array.from({ length: 18 }, () => 0),
].map(
  (bar, index): Reading => ({
    timeUs: index * 1e6,
    pressurePa: pressurePa(Math.round(bar * 1e5)),
    oppositePa: null,
    oilK: null,
    flags: 0,
  }),
);

const hold = (fall: number, hz = 10): Reading[] => drawTrace(plainHold(fall), { hz });
const cases: readonly [string, TestPlan, readonly Reading[]][] = [
  ['a tight hold', plain, hold(0.2)],
  ['a leaking hold', leaky, hold(3)],
  ['a hold at 1 reading a second', plain, hold(0.2, 1)],
  ['a rise', plain, hold(-0.8)],
  ['a stroke of the pump in the dwell', plain, drawTrace(toppedUp)],
  ['small strokes in noise', plain, noisyStrokes(0.5)],
  ['larger strokes in noise', plain, noisyStrokes(1)],
  ['strokes that sum up', leaky, noisyStrokes(2)],
  ['a dwell where a stroke could begin', stroked, atTheStrokes],
  ['a gap in the dwell', plain, gap(hold(0.2), 120, 131)],
  ['a level below that which must be kept', keptAbove, hold(1)],
  ['pressure at the other port', plain, withOther(hold(0.2))],
  ['corrected levels', corrected, hold(0.2)],
  ['a trace cut off in the dwell', plain, hold(0.2).slice(0, 1500)],
  ...[1, 2, 3, 4].map((seed): [string, TestPlan, Reading[]] => [
    `disturbances, seed ${seed}`,
    seed % 2 === 0 ? corrected : plain,
    disturbed(hold(0.2), seed, seed / 1000),
  ]),
];

describe('readings judged a stretch at a time', () => {
  const verdicts = new Set<string>();

  it.each(cases)('%s comes out as one by one, to the last bit', (_name, plan, readings) => {
    const expected = judge(plan, asInputs(readings));
    for (const size of [7, 2048]) expect(judge(plan, inStretches(readings, size))).toEqual(expected);
    verdicts.add(expected.verdict);
  });

  it('and these cases come to every verdict', () => {
    expect([...verdicts].sort()).toEqual(['fail', 'inconclusive', 'invalid', 'pass']);
  });
});
