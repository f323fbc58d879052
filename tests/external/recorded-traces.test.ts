import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { startDwell } from '../../src/evaluation/dwell.js';
import type { StageResult } from '../../src/evaluation/index.js';
import { theilSen } from '../../src/evaluation/statistics/lines.js';
import { decayForLeakPaPerS } from '../../src/hydraulics/index.js';
import { dropLimit, holdContext } from '../evaluation/holds.js';
import { lineOf } from './line.js';

/**
 * Published records, see data/README.md. Air chambers: seven chambers held shut at 7.3 to 7.8 bar
 * (EvaZillen/3D-printed-pneumatic-actuator on GitHub, CC0). Pulse test: Neuzil 1982, as digitised in randlab/hytool (MIT).
 */
const folder = fileURLToPath(new URL('data/', import.meta.url));

interface Trace {
  readonly timeUs: number[];
  readonly bar: number[];
}

function chamber(number: number): Trace {
  const rows = readFileSync(`${folder}air-chamber/chamber-${number}.csv`, 'utf8').trim().split(/\r?\n/);
  const cells = rows.map((row) => row.split(';'));
  return {
    timeUs: cells.map(([time = '']) => Number(time.replaceAll('.', ''))),
    bar: cells.map(([, , pressure = '']) => Number(pressure)),
  };
}

const part = (trace: Trace, from: number, to: number): Trace => ({
  timeUs: trace.timeUs.slice(from, to),
  bar: trace.bar.slice(from, to),
});

function judged(trace: Trace): StageResult {
  const first = trace.timeUs[0] ?? 0;
  const last = trace.timeUs.at(-1) ?? 0;
  const dwell = startDwell(
    holdContext({
      dwellS: (last - first) / 1e6,
      targetPa: 7.5e5,
      overpressurePa: 9e5,
      resolutionPa: 100,
      allowed: [dropLimit(1e4)],
    }),
  );
  trace.timeUs.forEach((time, i) => {
    dwell.add(time, (trace.bar[i] ?? 0) * 1e5, null, 0);
  });
  return dwell.finish({ endUs: last, cutShort: false, voided: null });
}

describe('air chambers, against SciPy 1.10.1 over the same rows', () => {
  const whole = Number.POSITIVE_INFINITY;
  it.each([
    [1, whole, 1508, -2.349412089e-4, 1.925e-6, 0.00326, -2.346316e-4],
    [2, whole, 1421, -2.873930646e-4, 2.046e-6, 0.00317, -2.850573e-4],
    [3, whole, 1435, -7.030621095e-4, 3.17e-6, 0.00498, -6.967701e-4],
    [4, whole, 1427, -3.718273928e-4, 2.146e-6, 0.00335, -3.688588e-4],
    [5, whole, 1408, -7.223991577e-4, 2.772e-6, 0.00425, -7.111137e-4],
    [6, 69, 69, -2.305973607e-3, 1.272e-3, 0.02204, 8.65676e-4],
    [7, 51, 51, -6.765316306e-4, 6.14e-4, 0.00646, 0],
  ])(
    'chamber %i: slope, its error, residual and robust slope',
    (number, rows, n, slope, slopeSd, residualSd, robust) => {
      const { timeUs, bar } = part(chamber(number), 0, rows);
      const seconds = timeUs.map((time) => time / 1e6);
      expect(seconds).toHaveLength(n);
      const result = lineOf(seconds, bar);
      expect(Math.abs(result.slope / slope - 1)).toBeLessThan(1e-9);
      expect(Math.abs(result.slopeSd / slopeSd - 1)).toBeLessThan(5e-4);
      expect(Math.abs(result.residualSd / residualSd - 1)).toBeLessThan(2e-3);
      const median = theilSen(seconds, bar).slope;
      if (robust === 0) expect(median).toBe(0);
      else expect(Math.abs(median / robust - 1)).toBeLessThan(1e-6);
    },
  );

  it.each([1, 2, 3, 4, 5])(
    'chamber %i loses slowly: the fall is clear, and wider bands than white noise would give allow for its correlation',
    (number) => {
      const trace = chamber(number);
      const result = judged(trace);
      const first = (trace.bar[0] ?? 0) - (trace.bar.at(-1) ?? 0);
      expect(result.verdict === 'invalid').toBe(false);
      expect(Math.abs((result.dropPa ?? 0) / 1e5 - first)).toBeLessThan(0.02);
      expect(result.dropPa).toBeGreaterThan(result.dropUncertaintyPa ?? 0);
      const white = (1e5 * 1.96 * 0.0033 * Math.sqrt(12)) / Math.sqrt(result.readings);
      expect(result.dropUncertaintyPa).toBeGreaterThan(1.5 * white);
    },
  );

  it.each([6, 7])('chamber %i holds, then empties: the fall is not one line', (number) => {
    const result = judged(chamber(number));
    const codes = result.flags.map((flag) => flag.code);
    expect(result.verdict).toBe('fail');
    expect(codes).toContain('not-one-line');
    expect(result.diagnosis?.shape).not.toBe('steady');
  });
});

describe('pulse test in shale (Neuzil 1982, data/README.md)', () => {
  const points = (): { s: number[]; share: number[] } => {
    const rows = readFileSync(`${folder}pulse-test/pulse.csv`, 'utf8').trim().split(/\r?\n/).slice(1);
    return {
      s: rows.map((row) => Number(row.split(',')[0])),
      share: rows.map((row) => Number(row.split(',')[1])),
    };
  };

  it('first five points: -1.1663e-4 /s, and 5.05e-13 m3/s for a pascal of over-pressure', () => {
    const { s, share } = points();
    const { slope } = lineOf(s.slice(0, 5), share.slice(0, 5));
    expect(slope).toBeCloseTo(-1.1663e-4, 8);
    const [volumeM3, compressibility] = [1.59, 2.723e-9];
    const leak = -volumeM3 * compressibility * slope;
    expect(leak).toBeCloseTo(5.05e-13, 15);
    expect(decayForLeakPaPerS({ volumeM3, bulkModulusPa: 1 / compressibility }, leak)).toBeCloseTo(-slope, 12);
  });

  it('is not one line, and the result says so', () => {
    const { s, share } = points();
    const last = s.at(-1) ?? 0;
    const dwell = startDwell(
      holdContext({ dwellS: last - (s[0] ?? 0), targetPa: 1e6, overpressurePa: 2e6, resolutionPa: 1 }),
    );
    s.forEach((time, i) => {
      dwell.add(time * 1e6, (share[i] ?? 0) * 1e6, null, 0);
    });
    const result = dwell.finish({ endUs: last * 1e6, cutShort: false, voided: null });
    expect(result.flags.map((flag) => flag.code)).toContain('not-one-line');
    expect(result.diagnosis?.shape).not.toBe('steady');
  });
});
