import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { startDwell } from '../../src/evaluation/dwell.js';
import type { StageResult } from '../../src/evaluation/index.js';
import { holdContext } from './holds.js';

type Sample = readonly [timeUs: number, pressurePa: number | null, oilK?: number | null, flags?: number];

function finish(samples: readonly Sample[], endUs?: number): StageResult {
  const dwell = startDwell(holdContext({ dwellS: 1 }));
  for (const [timeUs, pressurePa, oilK = null, flags = 0] of samples) dwell.add(timeUs, pressurePa, oilK, flags);
  dwell.early(2e6);
  return dwell.finish({ endUs: endUs ?? samples.at(-1)?.[0] ?? 0, cutShort: false, voided: null });
}

const steady = (n: number): Sample[] => Array.from({ length: n }, (_, i) => [i * 1e5, 242e5 + (i % 2) * 100] as const);

describe('a trace that can give no verdict is invalid and says why', () => {
  it.each<[string, readonly Sample[], RegExp]>([
    ['no readings', [], /no readings/],
    ['one reading', [[0, 242e5]], /no length/],
    [
      'two readings',
      [
        [0, 242e5],
        [1e6, 242e5],
      ],
      /only 2 usable readings/,
    ],
    [
      'no values',
      [
        [0, null],
        [1e6, null],
        [2e6, null],
      ],
      /only 0 usable readings/,
    ],
    [
      'equal times',
      [
        [5, 242e5],
        [5, 242e5],
        [5, 242e5],
      ],
      /no length/,
    ],
    ['a NaN', [...steady(10), [1e6, Number.NaN], [2e6, 242e5]], /\{seconds:1\} of dwell is not a number/],
    ['an endless pressure', [...steady(10), [1e6, Number.POSITIVE_INFINITY]], /not a number/],
    ['an oil temperature that is no number', [...steady(10), [1e6, 242e5, Number.NaN]], /not a number/],
    ['a time that is no number', [...steady(10), [Number.NaN, 242e5]], /time that is not a number/],
    ['time running backwards', [...steady(10), [2e5, 242e5], [1e6, 242e5]], /ran backwards by \{seconds:0.7\}/],
  ])('%s', (_, samples, reason) => {
    const result = finish(samples);
    expect(result.verdict).toBe('invalid');
    expect(result.reason).toMatch(reason);
    expect(result.dropPa).toBeNull();
  });

  it('an end before the beginning', () => {
    expect(finish(steady(20), -5).verdict).toBe('invalid');
  });

  it('three readings are enough for figures, with the t factor of one degree of freedom', () => {
    const result = finish([
      [0, 242e5],
      [5e5, 2419e4],
      [1e6, 242e5],
    ]);
    // Of the scatter alone; other accounts of the same three points have longer tails than a normal distribution.
    expect((result.coverageFactor ?? 0) / 12.706).toBeCloseTo(1, 0);
    expect(result.coverageFactor).toBeGreaterThan(10);
    expect(result.flags.map((flag) => flag.code)).toContain('few-readings');
  });

  it('a repeated time is left out and counted', () => {
    const twice = steady(30).flatMap((sample) => [sample, sample]);
    const result = finish(twice);
    expect(result.readings).toBe(30);
    expect(result.flags.find((flag) => flag.code === 'left-out')?.count).toBe(30);
  });
});

describe('any trace at all', () => {
  const pressure = fc.oneof(
    { weight: 8, arbitrary: fc.integer({ min: -1e5, max: 7e7 }) },
    { weight: 1, arbitrary: fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, null) },
  );
  const oil = fc.oneof(
    { weight: 3, arbitrary: fc.constant(null) },
    fc.integer({ min: 250000, max: 400000 }).map((mk) => mk / 1000),
  );
  const sample = fc.tuple(fc.integer({ min: -2, max: 2e6 }), pressure, oil, fc.constantFrom(0, 0, 0, 0, 1, 8));

  it('ends in a result whose figures are all numbers or null, never NaN, and never in an exception', () => {
    fc.assert(
      fc.property(fc.array(sample, { maxLength: 60 }), fc.integer({ min: -10, max: 1e8 }), (steps, endUs) => {
        let time = 0;
        const samples = steps.map(([step, p, k, flags]) => {
          time += step;
          return [time, p, k, flags] as const;
        });
        const result = finish(samples, endUs);
        for (const value of Object.values(result))
          if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true);
        for (const line of result.budget) expect(line.u).toBeGreaterThanOrEqual(0);
        expect(JSON.parse(JSON.stringify(result))).toEqual(result);
        expect(result.reason.length).toBeGreaterThan(10);
      }),
      { seed: 20261125, numRuns: 150 },
    );
  });

  it('backwards anywhere makes it invalid', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 48 }), fc.integer({ min: 1, max: 9e4 }), (where, back) => {
        const samples = steady(50).map(([time, p], i) => [i === where ? time - 1e5 - back : time, p] as const);
        expect(finish(samples).verdict).toBe('invalid');
      }),
      { seed: 20261125, numRuns: 100 },
    );
  });

  it('pressures moved by a constant give the same drop, and times moved by a constant the very same result', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 3e7 }), fc.integer({ min: 0, max: 2 ** 50 }), (higher, later) => {
        const noise = (i: number): number => Math.round(2000 * Math.sin(i * i));
        const samples = Array.from({ length: 40 }, (_, i) => [i * 1e5, 1e7 - 500 * i + noise(i)] as const);
        const plain = finish(samples);
        const up = finish(samples.map(([t, p]) => [t, p + higher] as const));
        const late = finish(samples.map(([t, p]) => [t + later, p] as const));
        expect(up.dropPa).toBeCloseTo(plain.dropPa ?? 0, 4);
        expect(late.dropPa).toBe(plain.dropPa);
        expect(late.dropUncertaintyPa).toBe(plain.dropUncertaintyPa);
      }),
      { seed: 20261125, numRuns: 50 },
    );
  });
});
