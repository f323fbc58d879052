import { describe, expect, it } from 'vitest';
import { startDwell } from '../../src/evaluation/dwell.js';
import type { StageResult } from '../../src/evaluation/index.js';
import { evaluate } from './ensembles.js';
import { holdContext } from './holds.js';
import { chance, correlatedNoiseSource, type DwellRecipe, simulatedDwell } from './trace-generator.js';

const paPerK = 1.05e6;

function cooling(oil: NonNullable<DwellRecipe['oil']>, leakDropPa: number, thermalUPaPerK = 1e5): StageResult {
  const source = chance(9);
  const dwell = simulatedDwell({
    source,
    durationS: 300,
    ratePerS: 10,
    startPa: 242e5,
    leakDropPa,
    noise: correlatedNoiseSource(source, 0, 5e3),
    oil,
  });
  return evaluate(holdContext({ thermalUPaPerK }), dwell);
}

const probe = { lagS: 15, noiseK: 0.01 };

describe('a logged oil temperature', () => {
  /** Oil that cools by 0.5 K with a time constant of 10 min: 0.197 K in 5 min, 2.07 bar of 10.5 bar/K. */
  const oil = { coolK: 0.5, tauS: 600, paPerK, probe };

  it('takes the thermal part out of a fall that is nothing else', () => {
    const result = cooling(oil, 0);
    expect(result.temperatureCorrected).toBe(true);
    expect(Math.abs((result.thermalDropPa ?? 0) - 2.07e5)).toBeLessThan(0.3e5);
    expect(result.dropUncertaintyPa).toBeLessThan(0.5e5);
    expect(Math.abs(result.dropPa ?? 1e9)).toBeLessThan(result.dropUncertaintyPa ?? 0);
    expect(result.diagnosis?.shape).toBe('thermal');
  });

  it('leaves the leak in', () => {
    const result = cooling(oil, 4e5);
    expect(Math.abs((result.dropPa ?? 0) - 4e5)).toBeLessThan(result.dropUncertaintyPa ?? 0);
    const parts = (result.dropPa ?? 0) + (result.thermalDropPa ?? 0);
    expect(Math.abs((result.plainDropPa ?? 0) - parts)).toBeLessThan(0.02 * parts);
  });

  it('counts the uncertainty of the coefficient: 0.197 K at 1 bar/K is 0.2 bar', () => {
    // A straight cooling: nothing in the course tells a leak from another coefficient.
    const straight = (uPaPerK: number) => cooling({ ...oil, tauS: 60_000, coolK: 39.5 }, 4e5, uPaPerK).budget;
    const [known, unsure] = [straight(1), straight(1e5)].map(
      (lines) => lines.find((line) => line.name.startsWith('separation'))?.u ?? 0,
    );
    expect(Math.sqrt((unsure ?? 0) ** 2 - (known ?? 0) ** 2)).toBeLessThan(1.1 * 0.197e5);
    expect(Math.sqrt((unsure ?? 0) ** 2 - (known ?? 0) ** 2)).toBeGreaterThan(0.95 * 0.197e5);
  });

  it('learns the coefficient from a bend that pressure and temperature share', () => {
    const wide = cooling({ coolK: 2, tauS: 60, paPerK: 0.8e6, probe }, 1e5, 3e5);
    expect(Math.abs((wide.dropPa ?? 0) - 1e5)).toBeLessThan(wide.dropUncertaintyPa ?? 0);
    const separationU = wide.budget.find((line) => line.name.startsWith('separation'))?.u ?? 0;
    expect(separationU).toBeLessThan(0.2 * 2 * 3e5);
  });

  it('allows for a probe that lags the oil by 40 s', () => {
    const lagged = cooling({ coolK: 3, tauS: 200, paPerK, probe: { lagS: 40, noiseK: 0.005 } }, 1e5);
    expect(Math.abs((lagged.dropPa ?? 0) - 1e5)).toBeLessThan(lagged.dropUncertaintyPa ?? 0);
    expect(lagged.dropUncertaintyPa).toBeLessThan(4e5);
  });
});

describe('typed temperatures', () => {
  const typed = (...readings: readonly (readonly [number, number])[]): StageResult => {
    const dwell = startDwell(holdContext({ unmeasuredTemperatureK: 0.5 }));
    const source = chance(4);
    for (let i = 0; i <= 1500; i++)
      dwell.add(i * 2e5, Math.round(242e5 - (0.4 * paPerK * i) / 1500 + 5e3 * source.normal()), null, 0);
    for (const [seconds, kelvins] of readings) dwell.typedOil(seconds * 1e6, kelvins);
    return dwell.finish({ endUs: 3e8, cutShort: false, voided: null });
  };

  it('at start and end: 0.4 K of cooling explains 4.2 bar', () => {
    const result = typed([0, 318.6], [300, 318.2]);
    expect(result.temperatureCorrected).toBe(true);
    expect(result.thermalDropPa).toBeCloseTo(4.2e5, 0);
    expect(Math.abs(result.dropPa ?? 1e9)).toBeLessThan(2e3);
    expect(result.budget.map((line) => line.name)).toContain('typed temperature');
  });

  it('one alone, or two close together, leave the bound in place', () => {
    for (const result of [typed([0, 318.6]), typed([0, 318.6], [60, 318.5])]) {
      expect(result.temperatureCorrected).toBe(false);
      expect(result.budget.map((line) => line.name)).toContain('temperature not measured');
      expect(result.dropUncertaintyPa).toBeCloseTo(0.95 * 0.5 * paPerK, -4);
    }
  });
});

describe('heat of compression', () => {
  const pumped = (seconds: number): StageResult => {
    const source = chance(8);
    const dwell = simulatedDwell({
      source,
      durationS: 300,
      ratePerS: 10,
      startPa: 245e5,
      leakDropPa: 0,
      noise: correlatedNoiseSource(source, 0, 5e3),
      settling: { sizePa: 10e5, tauS: 120 },
    });
    const rises = Array.from({ length: 16 }, (_, i) => ({ timeS: (-seconds * (i + 0.5)) / 16, byPa: 245e5 / 16 }));
    return evaluate(holdContext({ rises }), dwell);
  };

  it('explains a fall that dies away after a fast ramp, and far less surely after a slow one', () => {
    const [fast, slow] = [pumped(20), pumped(900)];
    expect(fast.flags.map((flag) => flag.code)).toContain('heat-of-compression');
    expect(fast.settlingDropPa).toBeGreaterThan(0.9 * (fast.plainDropPa ?? 0));
    expect(slow.settlingDropPa).toBeLessThan(0.9 * (slow.plainDropPa ?? 0));
    expect(slow.dropUncertaintyPa).toBeGreaterThan(4 * (fast.dropUncertaintyPa ?? 0));
  });
});
