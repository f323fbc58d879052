import { describe, expect, it } from 'vitest';
import { correctedPa, correctionAt, doubtWindow, driftRows, errorAt } from '../../../src/gauge/index.js';
import type { CalibrationPoint, CalibrationSpec } from '../../../src/procedure/index.js';
import { pressureDifferencePa, pressurePa } from '../../../src/units/index.js';

const bar = 1e5;
const points = (...pairs: readonly (readonly [reference: number, shown: number])[]): CalibrationPoint[] =>
  pairs.map(([reference, shown]) => ({ referencePa: pressurePa(reference * bar), shownPa: pressurePa(shown * bar) }));

const calibration = (certificate: string, date: string, more: Partial<CalibrationSpec> = {}): CalibrationSpec => ({
  certificate,
  laboratory: 'Brackwater Metrology',
  date,
  due: `${Number(date.slice(0, 4)) + 1}${date.slice(4)}`,
  ...more,
});

describe('a correction table', () => {
  const table = [
    { atPa: pressurePa(0), addPa: pressureDifferencePa(0.1 * bar) },
    { atPa: pressurePa(100 * bar), addPa: pressureDifferencePa(-0.1 * bar) },
    { atPa: pressurePa(400 * bar), addPa: pressureDifferencePa(0.5 * bar) },
  ];

  it.each([
    ['below its first point', -5, 0.1],
    ['at a point', 100, -0.1],
    ['half-way between two', 50, 0],
    ['a third of the way', 200, 0.1],
    ['above its last point', 500, 0.5],
  ])('%s', (_, at, add) => {
    expect(correctionAt(table, pressurePa(at * bar)) / bar).toBeCloseTo(add, 12);
    expect(correctedPa(table, pressurePa(at * bar))).toBe(Math.round((at + add) * bar));
  });

  it('that is empty changes nothing', () => {
    expect(correctedPa([], pressurePa(123))).toBe(123);
  });
});

it('the error of a gauge lies on straight lines between its points', () => {
  const found = points([100, 100.2], [200, 200.6]);
  expect((errorAt(found, pressurePa(150.4 * bar)) ?? Number.NaN) / bar).toBeCloseTo(0.4, 9);
  expect(errorAt([], pressurePa(0))).toBeNull();
});

describe('what a gauge did between and at its calibrations', () => {
  const first = calibration('C-1', '2024-02-20', { asFound: points([0, 0], [100, 100.1], [200, 200.1]) });
  const second = calibration('C-2', '2025-02-20', {
    asFound: points([0, 0.1], [100, 100.4], [200, 200.7]),
    asLeft: points([0, 0], [100, 100], [200, 199.9]),
  });

  it('as found and as left, what adjusting did, and the drift in service', () => {
    const inBar = driftRows(second, first).map((row) =>
      [row.referencePa, row.foundPa, row.leftPa, row.adjustedPa, row.driftedPa].map((pa) =>
        pa === null ? null : Number((pa / bar).toFixed(6)),
      ),
    );
    expect(inBar).toEqual([
      [0, 0.1, 0, -0.1, 0.1],
      [100, 0.4, 0, -0.4, 0.3],
      [200, 0.7, -0.1, -0.8, 0.6],
    ]);
  });

  it('a gauge that was not adjusted left as it was found, and the first calibration knows no drift', () => {
    expect(driftRows(first).map(({ adjustedPa, driftedPa }) => [adjustedPa, driftedPa])).toEqual([
      [0, null],
      [0, null],
      [0, null],
    ]);
  });

  it('a point that was found and not left, or the other way round, has gaps and no invented figure', () => {
    const rows = driftRows(calibration('C-3', '2026-02-20', { asFound: points([50, 50.1]), asLeft: points([60, 60]) }));
    expect(rows.map(({ foundPa, leftPa, adjustedPa }) => [foundPa !== null, leftPa !== null, adjustedPa])).toEqual([
      [true, false, null],
      [false, true, null],
    ]);
  });
});

describe('a gauge found out', () => {
  const good = points([100, 100.1], [300, 300.2]);
  const history = [
    calibration('C-3', '2026-02-20', { asFound: points([100, 100.4], [300, 301.8]) }),
    calibration('C-1', '2024-02-20', { asFound: good }),
    calibration('C-2', '2025-02-20', { asFound: good }),
  ];
  const allowed = pressureDifferencePa(1 * bar);

  it('is in doubt from the last calibration that found it good, whatever order they were entered in', () => {
    expect(doubtWindow(history, 'C-2', allowed)).toBeUndefined();
    const window = doubtWindow(history, 'C-3', allowed);
    expect(window).toMatchObject({ after: '2025-02-20', until: '2026-02-20' });
    expect((errorAt(window?.asFound ?? [], pressurePa(301.8 * bar)) ?? 0) / bar).toBeCloseTo(1.8, 9);
  });

  it('without a good calibration before it is in doubt from the start', () => {
    expect(doubtWindow([history[0] ?? calibration('', '2026-02-20')], 'C-3', allowed)?.after).toBeNull();
  });
});
