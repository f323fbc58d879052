import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { createLogFile } from '../../drivers/log-file/index.js';
import { Chance } from './chance.js';
import { drawHold } from './draw.js';
import { csvOf, noiseOf } from './gauge-chain.js';
import { simulate } from './hold.js';
import type { Noise } from './hold-spec.js';
import { asReading } from './run-hold.js';
import { chanceOfAtMost } from './tally.js';

const spread = (values: Float64Array): number => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
const lagged = (values: Float64Array, lag: number): number =>
  values.reduce((sum, v, i) => sum + v * (values[i - lag] ?? 0), 0) / values.reduce((sum, v) => sum + v * v, 0);

describe('the gauge of the second world', () => {
  it.each([
    { noise: { kind: 'white', sdPa: 1e4 }, first: 0 },
    { noise: { kind: 'ar1', sdPa: 1e4, coefficient: 0.9 }, first: 0.9 },
    { noise: { kind: 'ar1', sdPa: 1e4, coefficient: 0.99 }, first: 0.99 },
  ] satisfies { noise: Noise; first: number }[])('has noise of its size and colour: $noise', ({ noise, first }) => {
    const values = noiseOf({ noise, filter: null, updateHz: 1 }, 200_000, Chance.of(1, 'noise'));
    expect(spread(values) / 1e4).toBeCloseTo(1, 1);
    expect(lagged(values, 1)).toBeCloseTo(first, 1);
  });

  it('1/f noise has the same power in each octave of averaging, a walk grows with the root of time', () => {
    const pink = noiseOf({ noise: { kind: 'pink', sdPa: 1e4 }, filter: null, updateHz: 2 }, 400_000, Chance.of(2, 'n'));
    const means = (span: number): Float64Array =>
      Float64Array.from(
        { length: Math.floor(pink.length / span) },
        (_, i) => pink.subarray(i * span, (i + 1) * span).reduce((sum, v) => sum + v, 0) / span,
      );
    // White noise would fall by sixteen in variance.
    expect((spread(means(4)) / spread(means(64))) ** 2).toBeLessThan(3);
    const walk = noiseOf(
      { noise: { kind: 'walk', sdPa: 0, walkPaPerRootS: 100 }, filter: null, updateHz: 10 },
      900_000,
      Chance.of(3, 'n'),
    );
    const ends = Float64Array.from({ length: 300 }, (_, i) => (walk[(i + 1) * 3000 - 1] ?? 0) - (walk[i * 3000] ?? 0));
    expect(spread(ends) / (100 * Math.sqrt(300))).toBeCloseTo(1, 0);
  });

  it('writes a log that the program reads as the readings judged in process', async () => {
    const { spec, rows } = simulate(drawHold(21, { probe: 'good' }));
    const folder = mkdtempSync(path.join(tmpdir(), 'second-world-'));
    try {
      const file = path.join(folder, 'hold.csv');
      writeFileSync(file, csvOf(rows, spec.gauge.resolutionPa));
      const log = createLogFile({ path: file });
      await log.open();
      let at = 0;
      for await (const item of log.items()) {
        const row = rows[at];
        if (item.kind !== 'reading' || !row) continue;
        expect(item.reading).toEqual(asReading(row, rows[0]?.timeS ?? 0));
        at += 1;
      }
      expect(at).toBe(rows.length);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});

describe('the same seed', () => {
  it('gives the same hold, another seed another', () => {
    const log = (seed: number): string => csvOf(simulate(drawHold(seed)).rows, 1e4);
    expect(log(5)).toBe(log(5));
    expect(log(5)).not.toBe(log(6));
  });
});

describe('chance of a count', () => {
  it('is the binomial sum: at most 5 of 10 at one half, 638 of 1024', () => {
    expect(chanceOfAtMost(5, 10, 0.5)).toBeCloseTo(638 / 1024, 12);
    expect(chanceOfAtMost(0, 400, 0.01)).toBeCloseTo(0.99 ** 400, 12);
  });
});
