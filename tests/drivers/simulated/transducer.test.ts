import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../drivers/simulated/instrument/random.js';
import { OilProbe, type SimulatedTransducer, Transducer } from '../../../drivers/simulated/instrument/transducer.js';

const clean: SimulatedTransducer = {
  unit: 'bar',
  resolution: 0.1,
  rangeLowPa: -1e5,
  rangeHighPa: 400e5,
  lagS: 0,
  whitePa: 0,
};
const of = (changes: Partial<SimulatedTransducer>): Transducer =>
  new Transducer({ ...clean, ...changes }, seededRandom(5));
const values = (transducer: Transducer, truePa: number, count: number): number[] =>
  Array.from({ length: count }, (_, index) => transducer.read(index / 10, truePa).value ?? Number.NaN);
const mean = (list: readonly number[]): number => list.reduce((sum, value) => sum + value, 0) / list.length;
function variance(list: readonly number[]): number {
  const centre = mean(list);
  return mean(list.map((value) => (value - centre) ** 2));
}

describe('the transmitter', () => {
  it('shows steps of its resolution in its own unit', () => {
    expect(of({}).read(0, 253.74e5)).toEqual({ value: 253.7 });
    expect(of({ resolution: 0.5 }).read(0, 253.74e5)).toEqual({ value: 253.5 });
    expect(of({ unit: 'psi', resolution: 1 }).read(0, 250e5)).toEqual({ value: 3626 });
  });

  it('adds offset, gain error and drift', () => {
    const transducer = of({ resolution: 0.001, offsetPa: 20_000, gainError: 0.001, driftPaPerS: 100 });
    expect(transducer.read(0, 200e5).value).toBeCloseTo(200.4, 6);
    expect(transducer.read(10, 200e5).value).toBeCloseTo(200.41, 6);
  });

  it('lags behind a step by exp(-t/tau), and behind a ramp by tau times its rate', () => {
    const transducer = of({ resolution: 1e-6, lagS: 0.5 });
    transducer.read(0, 0);
    let behind = 0;
    for (let second = 0.1; second < 5.05; second += 0.1)
      behind = second * 10 - (transducer.read(second, second * 10e5).value ?? 0);
    expect(behind).toBeCloseTo(5 * (1 - Math.exp(-5.0 / 0.5)), 3);
  });

  it('has white noise of the stated size, and correlated noise of the stated memory', () => {
    const white = values(of({ resolution: 1e-6, whitePa: 5000 }), 100e5, 20_000);
    expect(mean(white)).toBeCloseTo(100, 2);
    expect(Math.sqrt(variance(white))).toBeCloseTo(0.05, 2);
    const slow = values(of({ resolution: 1e-6, correlated: { deviationPa: 5000, perReading: 0.9 } }), 100e5, 40_000);
    const centre = mean(slow);
    const lagged = mean(slow.slice(1).map((value, index) => (value - centre) * ((slow[index] ?? 0) - centre)));
    expect(lagged / variance(slow)).toBeCloseTo(0.9, 1);
    expect(Math.sqrt(variance(slow))).toBeCloseTo(0.05, 2);
  });

  it('has play between rising and falling', () => {
    const transducer = of({ resolution: 1e-6, hysteresisPa: 10_000 });
    expect(transducer.read(0, 100e5).value).toBeCloseTo(99.9, 6);
    expect(transducer.read(1, 99.9e5).value).toBeCloseTo(99.9, 6);
    expect(transducer.read(2, 90e5).value).toBeCloseTo(90.1, 6);
  });

  it('shows no number out of its range', () => {
    expect(of({}).read(0, 401e5)).toEqual({ value: null, why: 'over-range' });
    expect(of({}).read(0, -2e5)).toEqual({ value: null, why: 'under-range' });
  });
});

it('the oil probe shows degrees Celsius in its steps and lags', () => {
  const probe = new OilProbe({ lagS: 5, noiseK: 0, resolutionK: 0.01 }, seededRandom(1));
  expect(probe.read(0, 296.15)).toBe(23);
  expect(probe.read(1, 297.15)).toBeCloseTo(23 + 1 - 5 * (1 - Math.exp(-0.2)), 2);
});

describe('the seeded numbers', () => {
  it('repeat with their seed and have mean 0 and variance 1', () => {
    const list = (seed: number): number[] => {
      const random = seededRandom(seed);
      return Array.from({ length: 50_000 }, () => random.gaussian());
    };
    expect(list(3)).toEqual(list(3));
    expect(list(3).slice(0, 5)).not.toEqual(list(4).slice(0, 5));
    expect(Math.abs(mean(list(3)))).toBeLessThan(4 / Math.sqrt(50_000));
    expect(Math.abs(variance(list(3)) - 1)).toBeLessThan(4 * Math.sqrt(2 / 50_000));
  });
});
