import { describe, expect, it } from 'vitest';
import {
  dropResolutionU,
  expand,
  leakRate,
  levelBudget,
  levelUncertainty,
  rateOfLeak,
  rectangularU,
  resolutionU,
  studentTProbability,
  studentTQuantile,
} from '../../src/evaluation/index.js';
import type { GaugeSpec } from '../../src/procedure/index.js';
import { pressureDifferencePa, pressurePa } from '../../src/units/index.js';

const bar = 1e5;
const millilitresPerMinute = 1e-6 / 60;

describe('figures of the GUM (JCGM 100:2008)', () => {
  it('a rectangular half-width a is worth a/sqrt 3 (4.3.7)', () => {
    expect(rectangularU(1)).toBeCloseTo(0.57735, 5);
  });

  it('steps of 0.1 bar: 0.0289 bar for one indication (F.2.2.1), 0.0408 bar for a drop', () => {
    expect(resolutionU(0.1)).toBeCloseTo(0.0289, 4);
    expect(dropResolutionU(0.1)).toBeCloseTo(0.0408, 4);
  });

  const gauge: GaugeSpec = {
    serial: 'SN 40117',
    rangeLowPa: pressurePa(0),
    rangeHighPa: pressurePa(400 * bar),
    resolutionPa: pressureDifferencePa(0.1 * bar),
    accuracyOfSpan: 0.0025,
  };

  /** Computed from the definitions. */
  it('a level on a 0 to 400 bar gauge of 0.25 % and 0.1 bar: u 0.5781 bar, U 1.1561 bar', () => {
    const u = Math.sqrt(levelBudget(gauge).reduce((sum, line) => sum + line.u ** 2, 0));
    expect(u / bar).toBeCloseTo(0.5781, 4);
    expect(levelUncertainty(gauge) / bar).toBeCloseTo(1.1561, 4);
  });

  it('a calibration uncertainty of 0.0414 bar at k = 2 is u 0.0207 bar', () => {
    const calibration = {
      certificate: 'K-118',
      laboratory: 'an invented laboratory',
      date: '2026-03-14',
      due: '2027-03-14',
      expandedUPa: pressureDifferencePa(0.0414 * bar),
    };
    const line = levelBudget({ ...gauge, calibration }).find(({ name }) => name === 'calibration');
    expect((line?.u ?? 0) / bar).toBeCloseTo(0.0207, 6);
  });

  /** GUM H.1.6 and H.1.7: end-gauge; 32 nm, effective degrees of freedom 16, t99(16) = 2.92, U99 93 nm. */
  it('the end-gauge of H.1: u 32 nm with 16 effective degrees of freedom, and t99 of them 2.92', () => {
    const combined = expand([
      { u: 25, degreesOfFreedom: 18 },
      { u: 9.7, degreesOfFreedom: 25.6 },
      { u: 2.9, degreesOfFreedom: 50 },
      { u: 16.6, degreesOfFreedom: 2 },
    ]);
    expect(Math.round(combined.u)).toBe(32);
    expect(Math.floor(combined.degreesOfFreedom)).toBe(16);
    expect(studentTQuantile(0.995, 16)).toBeCloseTo(2.92, 2);
  });

  /** GUM table G.2, fraction 95 %. */
  it.each([
    [1, 12.71],
    [2, 4.3],
    [3, 3.18],
    [5, 2.57],
    [10, 2.23],
    [20, 2.09],
    [50, 2.01],
    [100, 1.984],
    [Number.POSITIVE_INFINITY, 1.96],
  ])('Student t for %d degrees of freedom at 95 per cent is %f', (dof, t) => {
    expect(studentTQuantile(0.975, dof)).toBeCloseTo(t, dof === 100 ? 3 : 2);
  });

  it('the Student distribution has its closed forms for 1 and 2 degrees of freedom', () => {
    for (const t of [-7, -0.3, 0.2, 1, 4.3, 40]) {
      expect(studentTProbability(t, 1)).toBeCloseTo(0.5 + Math.atan(t) / Math.PI, 13);
      expect(studentTProbability(t, 2)).toBeCloseTo(0.5 + t / (2 * Math.sqrt(2 + t * t)), 13);
    }
  });
});

describe('leak rate by Q = (V/K) dp/dt, computed from the definition', () => {
  it('3.92699 L, 1.5 GPa, 5 bar in 5 min: 0.261799 mL/min', () => {
    expect(leakRate(3.92699e-3, 1.5e9, (5 * bar) / 300) / millilitresPerMinute).toBeCloseTo(0.261799, 6);
  });

  it('1.000 L, 1.4 GPa, 1 bar in 1 min: 0.0714286 mL/min', () => {
    expect(leakRate(1e-3, 1.4e9, bar / 60) / millilitresPerMinute).toBeCloseTo(0.0714286, 7);
  });

  it('100 in3, 250 000 psi, 100 psi in 10 min: 0.0655483 mL/min', () => {
    const psi = 6894.757293168361;
    const leak = leakRate(100 * 16.387064e-6, 250_000 * psi, (100 * psi) / 600);
    expect(leak / millilitresPerMinute).toBeCloseTo(0.0655483, 7);
  });

  it('0.2 mL/min from 3.92699 L of 1.5 GPa is 0.764 bar/min, and back', () => {
    const rate = rateOfLeak(3.92699e-3, 1.5e9, 0.2 * millilitresPerMinute);
    expect((rate * 60) / bar).toBeCloseTo(0.764, 3);
    expect(leakRate(3.92699e-3, 1.5e9, rate) / millilitresPerMinute).toBeCloseTo(0.2, 12);
  });
});
