import { describe, expect, it } from 'vitest';
import {
  type Calibration,
  type CalibrationHistory,
  calibrationFindings,
  calibrationOn,
  correctedReading,
  correctionAt,
  doubtWindow,
  enterCalibration,
  errorAt,
  pressureDifferencePa,
  pressurePa,
} from '../../../src/gauge/index.js';

const bar = 1e5;
const points = (...pairs: [number, number][]) =>
  pairs.map(([reference, indicated]) => ({
    referencePa: pressurePa(reference * bar),
    indicatedPa: pressurePa(indicated * bar),
  }));

const calibration = (
  certificate: string,
  date: string,
  due: string,
  asFound = points([0, 0], [400, 400.2]),
): Calibration => ({
  certificate,
  laboratory: 'Halden Metrology',
  date,
  due,
  coversLowPa: pressurePa(0),
  coversHighPa: pressurePa(400 * bar),
  asFound,
  asLeft: asFound,
  corrections: [],
});

const history: CalibrationHistory = [
  calibration('C-1', '2024-03-01', '2025-03-01'),
  calibration('C-2', '2025-02-20', '2026-02-20'),
  calibration('C-3', '2026-02-10', '2027-02-10', points([0, 0.1], [200, 203], [400, 406])),
].reduce(enterCalibration, { gaugeSerial: 'SN 40117', calibrations: [] } as CalibrationHistory);

describe('a correction table', () => {
  const table = [
    { atPa: pressurePa(0), addPa: pressureDifferencePa(0) },
    { atPa: pressurePa(200 * bar), addPa: pressureDifferencePa(0.4 * bar) },
    { atPa: pressurePa(400 * bar), addPa: pressureDifferencePa(-0.2 * bar) },
  ];

  it.each([
    [-10, 0],
    [0, 0],
    [100, 0.2],
    [200, 0.4],
    [300, 0.1],
    [400, -0.2],
    [500, -0.2],
  ])('at %i bar adds %d bar', (at, add) => {
    expect(correctionAt(table, pressurePa(at * bar))).toBeCloseTo(add * bar, 6);
  });

  it('corrects a copy and leaves the raw reading as it was', () => {
    const raw = { timeUs: 5, pressurePa: pressurePa(10_000_003), oppositePa: null, oilK: null, flags: 0 };
    expect(correctedReading(table, raw).pressurePa).toBe(10_020_003);
    expect(raw.pressurePa).toBe(10_000_003);
    expect(correctedReading([], raw)).toBe(raw);
    expect(correctedReading(table, { ...raw, pressurePa: null }).pressurePa).toBeNull();
  });
});

describe('a calibration history', () => {
  it('knows which calibration was in force on a day', () => {
    expect(calibrationOn(history, '2024-01-01')).toBeUndefined();
    expect(calibrationOn(history, '2025-02-19')?.certificate).toBe('C-1');
    expect(calibrationOn(history, '2025-02-20')?.certificate).toBe('C-2');
  });

  it.each([
    ['2024-01-01', 200, ['stop calibration-missing']],
    ['2025-01-01', 200, []],
    ['2025-02-10', 200, ['note calibration-due-soon']],
    ['2024-06-01', 401, ['stop calibration-not-covering']],
    ['2027-02-10', 200, ['note calibration-due-soon']],
    ['2027-02-11', 200, ['stop calibration-out-of-date']],
  ])('speaks on %s about a test to %i bar', (day, highest, expected) => {
    const found = calibrationFindings(history, { day, highestPa: pressurePa(highest * bar) });
    expect(found.map((finding) => `${finding.grade} ${finding.code}`)).toEqual(expected);
  });

  it('does about it what the shop sets', () => {
    const policy = { missing: 'warn', outOfDate: 'warn', notCovering: 'note', noticeDays: 0 } as const;
    const found = calibrationFindings(history, { day: '2027-03-01', highestPa: pressurePa(450 * bar) }, policy);
    expect(found.map((finding) => finding.grade)).toEqual(['warn', 'note']);
    expect(found[0]?.text).toBe('calibration C-3 of gauge SN 40117 was due on 2027-02-10, 19 days before 2027-03-01');
  });

  it('a gauge found out puts the time since it was last found good in doubt', () => {
    expect(doubtWindow(history, 'C-2', pressureDifferencePa(1 * bar))).toBeUndefined();
    const window = doubtWindow(history, 'C-3', pressureDifferencePa(1 * bar));
    expect(window).toMatchObject({ after: '2025-02-20', until: '2026-02-10' });
    // 203 shown for 200: at 101.55 shown the error is half way between 0.1 and 3 bar
    expect(errorAt(window?.asFound ?? [], pressurePa(101.55 * bar))).toBeCloseTo(1.55 * bar, 3);
  });

  it.each([
    [{ date: '14.03.2026' }, 'calibration.date'],
    [{ due: '2023-01-01' }, 'calibration.due'],
    [{ coversHighPa: pressurePa(0) }, 'calibration.covers'],
    [{ certificate: 'C-1' }, 'calibration.certificate'],
    [
      {
        corrections: [
          { atPa: pressurePa(2), addPa: pressureDifferencePa(0) },
          { atPa: pressurePa(1), addPa: pressureDifferencePa(0) },
        ],
      },
      'calibration.corrections',
    ],
  ])('refuses %o', (change, key) => {
    const entry = { ...calibration('C-9', '2026-03-01', '2027-03-01'), ...change };
    expect(() => enterCalibration(history, entry)).toThrow(expect.objectContaining({ code: 'input', place: { key } }));
  });
});
