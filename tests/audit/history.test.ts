import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { leakTrend } from '../../src/audit/history/leak-trend.js';
import { comparableHolds, cylinderHistory } from '../../src/audit/index.js';
import { asInputs, newStore, sampleHeader, sampleReadings, scratchFolder, writeTest } from '../record/sample-test.js';

const day = 86_400_000;

describe('the trend of a leak', () => {
  it('two holds: the difference, its uncertainty from both', () => {
    // 3 - 1 = 2; sqrt(0.2^2 + 0.2^2) = 0.28284.
    const trend = leakTrend([
      { atMs: 0, leak: 1, leakU: 0.2 },
      { atMs: day, leak: 3, leakU: 0.2 },
    ]);
    expect(trend).toMatchObject({ holds: 2, spanS: 86_400, word: 'grows' });
    expect(trend?.change).toBeCloseTo(2, 12);
    expect(trend?.changeU).toBeCloseTo(0.282843, 6);
  });

  it('a hold of little weight hardly moves the line', () => {
    // Weighted by 1, 1/100 and 1 at x = 0, 0.5, 1: the middle one lies on the mean of x and has no lever.
    const trend = leakTrend([
      { atMs: 0, leak: 0.1, leakU: 0.01 },
      { atMs: day, leak: 0.9, leakU: 1 },
      { atMs: 2 * day, leak: 0.1, leakU: 0.01 },
    ]);
    expect(trend?.change).toBeCloseTo(0, 12);
    expect(trend?.word).toBe('no trend seen');
  });

  it('leaks that scatter more than they say widen the uncertainty to what they show', () => {
    // Ordinary least squares of 0, 2, 1, 3 on 0, 1, 2, 3: slope 0.8, residuals -0.3 0.9 -0.9 0.3, s = sqrt(1.8 / 2),
    // standard error of the slope s / sqrt(5) = 0.424264, t(0.975, 2) = 4.302653; over the span of 3: 2.4 ± 5.476383.
    const points = [0, 2, 1, 3].map((leak, index) => ({ atMs: index * day, leak, leakU: 0.01 }));
    const trend = leakTrend(points);
    expect(trend?.change).toBeCloseTo(2.4, 12);
    expect(trend?.changeU).toBeCloseTo(5.476383, 5);
    expect(trend?.word).toBe('no trend seen');
  });

  it('one hold, or two at one time, have no trend', () => {
    expect(leakTrend([{ atMs: 5, leak: 1, leakU: 1 }])).toBeNull();
    expect(leakTrend([1, 2].map((leak) => ({ atMs: 5, leak, leakU: 1 })))).toBeNull();
  });
});

describe("a cylinder's history", () => {
  const store = newStore(join(scratchFolder(), 'history.db'));
  const cylinder = (serial: string) => ({ ...sampleHeader('x').cylinder, serial });
  const days = ['2026-01-05', '2026-03-05', '2026-05-05'];
  for (const [index, date] of days.entries())
    writeTest(
      store,
      sampleHeader(store.nextTestId(2026), { startedAt: `${date}T08:00:00+01:00`, cylinder: cylinder('CY-7') }),
      asInputs(sampleReadings({ seconds: 20, seed: index + 1, dropPaPerS: 5000 * (index + 1) })),
    );
  writeTest(
    store,
    sampleHeader('T-2026-0009', { cylinder: cylinder('CY-77') }),
    asInputs(sampleReadings({ seconds: 5 })),
  );
  store.voidTest('T-2026-0001', { by: 'x', reason: 'wrong oil' });

  it('holds every test of that serial, upper or lower case, and of no longer one', () => {
    const history = cylinderHistory(store, 'cy-7');
    expect(history).toMatchObject({ serial: 'CY-7', tests: 3, unsealed: [] });
    expect(history.holds.map(({ test, voided }) => [test, voided])).toEqual([
      ['T-2026-0001', true],
      ['T-2026-0002', false],
      ['T-2026-0003', false],
    ]);
    expect(() => cylinderHistory(store, 'CY-')).toThrow('no test of a cylinder CY-');
  });

  it('void tests stay in the list and out of the trend; the allowed leak is in the drop’s proportion', () => {
    const { holds } = cylinderHistory(store, 'CY-7');
    const [group] = comparableHolds(holds);
    expect(group?.holds).toHaveLength(3);
    expect(group?.trend).toMatchObject({ holds: 2, word: 'grows' });
    expect(group?.sinceLast).toEqual(group?.trend);
    const [, second] = holds;
    expect(second?.allowedLeakM3PerS).toBeCloseTo((second?.allowedDropPa ?? 0) * 1e-15, 20);
  });
});
