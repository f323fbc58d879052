import { describe, expect, it } from 'vitest';
import { acceptance } from '../../src/evaluation/decision.js';
import { expand, studentTProbability } from '../../src/evaluation/uncertainty.js';
import { chance } from '../evaluation/trace-generator.js';

describe('decision rules of ILAC-G8:09/2019, 4.2 and figure 3 (acceptance limit AL = TL - w)', () => {
  /** Limit 5.0 bar, U 1.2 bar, guard band w = U: computed from the definition. */
  it.each([
    [3.5, 'pass'],
    [3.8, 'pass'],
    [4.4, 'conditional pass'],
    [5.0, 'conditional pass'],
    [5.6, 'conditional fail'],
    [6.2, 'conditional fail'],
    [6.3, 'fail'],
  ] as const)('guarded, limit 5.0 bar, U 1.2 bar: %f bar is a %s', (value, word) => {
    expect(acceptance('guarded', value, 1.2, 5.0)).toBe(word);
  });

  it.each([
    [3.5, 'pass'],
    [4.4, 'pass'],
    [5.0, 'pass'],
    [5.6, 'fail'],
    [6.3, 'fail'],
  ] as const)('simple, w = 0: %f bar is a %s', (value, word) => {
    expect(acceptance('simple', value, 1.2, 5.0)).toBe(word);
  });
});

describe('conformance probabilities of JCGM 106:2012, 7.4 (examples from memory, z and p computed)', () => {
  /** Probability that a normal quantity lies on the good side of its one limit, by the program's own distribution. */
  const conformance = (z: number): number => studentTProbability(z, 1e8);

  it('a diode of -5.47 V, u 0.05 V, against at most -5.40 V: p 0.92, too little for a guarded pass', () => {
    expect(conformance((-5.4 + 5.47) / 0.05)).toBeCloseTo(0.92, 2);
    expect(acceptance('guarded', -5.47, 2 * 0.05, -5.4)).toBe('conditional pass');
    expect(acceptance('simple', -5.47, 2 * 0.05, -5.4)).toBe('pass');
  });

  it('a container that bursts at 509.7 kPa, u 8.6 kPa, against at least 490 kPa: p 0.99, a guarded pass', () => {
    expect(conformance((509.7 - 490) / 8.6)).toBeCloseTo(0.99, 2);
    // A lower limit is an upper one with the signs changed.
    expect(acceptance('guarded', -509.7, 2 * 8.6, -490)).toBe('pass');
  });

  it('a guarded pass at its acceptance limit has the probability 0.975 of JCGM 106 8.3.2, at U of 95 per cent', () => {
    const { u, expandedU } = expand([{ u: 0.6, degreesOfFreedom: null }]);
    expect(acceptance('guarded', 5 - expandedU, expandedU, 5)).toBe('pass');
    expect(acceptance('guarded', 5 - 0.999 * expandedU, expandedU, 5)).not.toBe('pass');
    expect(conformance(expandedU / u)).toBeCloseTo(0.975, 6);
  });
});

describe('false accepts by Monte Carlo, 50 000 readings of a cylinder that is exactly at its limit', () => {
  const seed = Number(process.env.DWELLMARK_SEED ?? Date.now() % 2 ** 31);
  const trials = 50_000;
  // Computed from the definitions: 2.5 in 100 and 50 in 100; five standard deviations of the count either way.
  it.each([
    ['guarded', 0.025],
    ['simple', 0.5],
  ] as const)(`%s: %f of them pass (DWELLMARK_SEED=${seed})`, (rule, share) => {
    const source = chance(seed);
    const { u, expandedU } = expand([{ u: 0.3, degreesOfFreedom: null }]);
    let passes = 0;
    for (let i = 0; i < trials; i++) if (acceptance(rule, 5 + u * source.normal(), expandedU, 5) === 'pass') passes++;
    expect(Math.abs(passes / trials - share)).toBeLessThan(5 * Math.sqrt((share * (1 - share)) / trials));
  });

  it('with 4 degrees of freedom the band widens by Student, and still 2.5 in 100 pass (computed)', () => {
    const source = chance(seed + 1);
    const { coverageFactor } = expand([{ u: 1, degreesOfFreedom: 4 }]);
    let passes = 0;
    for (let i = 0; i < trials; i++) {
      const scatter = Array.from({ length: 5 }, () => source.normal());
      const mean = scatter.reduce((sum, value) => sum + value, 0) / 5;
      const sd = Math.sqrt(scatter.reduce((sum, value) => sum + (value - mean) ** 2, 0) / 4);
      if (acceptance('guarded', 5 + mean, (coverageFactor * sd) / Math.sqrt(5), 5) === 'pass') passes++;
    }
    expect(Math.abs(passes / trials - 0.025)).toBeLessThan(5 * Math.sqrt((0.025 * 0.975) / trials));
  });
});
