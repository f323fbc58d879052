import { describe, expect, it } from 'vitest';
import { type Reading, seenSignal } from '../../src/gauge/index.js';
import { pressurePa } from '../../src/units/index.js';

const readings = (pressures: readonly (number | null)[], timesUs?: readonly number[]): Reading[] =>
  pressures.map((value, index) => ({
    timeUs: timesUs?.[index] ?? index * 100_000,
    pressurePa: value === null ? null : pressurePa(value),
    oppositePa: null,
    oilK: null,
    flags: value === null ? 1 : 0,
  }));

describe('what readings show of the gauge', () => {
  it('ten a second, evenly, in steps of 0.1 bar, one without a value', () => {
    const seen = seenSignal(readings([250e5, 249.9e5, null, 250e5, 249.8e5]));
    expect(seen).toMatchObject({ readings: 5, withoutValue: 1, ratePerS: 10, stepPa: 10_000 });
    expect(seen.jitterS).toBeCloseTo(0, 12);
  });

  it('jitter is the standard deviation of the intervals: 90, 110, 90, 110 ms give 11.5 ms', () => {
    const seen = seenSignal(readings([0, 0, 0, 0, 0], [0, 90_000, 200_000, 290_000, 400_000]));
    expect(seen.jitterS).toBeCloseTo(0.011547, 6);
  });

  it('a steady fall is no noise, and an alternating value is: 100, 102, 100, 102, 100 Pa give sqrt(16 / 6) Pa', () => {
    expect(seenSignal(readings([500, 400, 300, 200, 100])).noisePa).toBe(0);
    expect(seenSignal(readings([100, 102, 100, 102, 100])).noisePa).toBeCloseTo(1.63299, 5);
  });

  it('values in psi, rounded to whole pascals, still show their step of 0.1 psi', () => {
    const psi = [3500.1, 3500, 3500.2, 3500.1].map((value) => Math.round(value * 6894.757));
    expect(seenSignal(readings(psi)).stepPa).toBeCloseTo(689, -1);
  });

  it('nothing is said of what can not be seen', () => {
    expect(seenSignal([])).toEqual({
      readings: 0,
      withoutValue: 0,
      ratePerS: null,
      jitterS: null,
      noisePa: null,
      stepPa: null,
    });
    expect(seenSignal(readings([1e5, 1e5, 1e5])).stepPa).toBeNull();
  });
});
