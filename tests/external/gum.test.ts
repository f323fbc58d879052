import { describe, expect, it } from 'vitest';
import { studentTQuantile } from '../../src/evaluation/index.js';
import {
  dropResolutionU,
  expand,
  levelBudget,
  levelUncertainty,
  rectangularU,
  resolutionU,
  studentTProbability,
} from '../../src/evaluation/uncertainty.js';
import type { GaugeSpec } from '../../src/procedure/index.js';
import { pressureDifferencePa, pressurePa } from '../../src/units/index.js';

const bar = 1e5;

describe('figures of the GUM, JCGM 100:2008', () => {
  it('a rectangular half-width a is worth a/sqrt 3 (4.3.7)', () => {
    expect(rectangularU(1)).toBeCloseTo(0.57735, 5);
  });

  it('steps of 0.1 bar: 0.0289 bar, 0.29 of a step, for one indication (F.2.2.1); 0.0408 bar for a drop (computed)', () => {
    expect(resolutionU(1)).toBeCloseTo(0.29, 2);
    expect(resolutionU(0.1)).toBeCloseTo(0.0289, 4);
    expect(dropResolutionU(0.1)).toBeCloseTo(0.0408, 4);
  });

  describe('the end-gauge of H.1', () => {
    /** Table H.1: comparator reading, its random and systematic part, and the standard; nm and degrees of freedom. */
    const parts = [
      { u: 25, degreesOfFreedom: 18 },
      { u: 9.7, degreesOfFreedom: 25.6 },
      { u: 2.9, degreesOfFreedom: 50 },
      { u: 16.6, degreesOfFreedom: 2 },
    ];
    it('H.1.4: u 32 nm', () => {
      expect(Math.round(expand(parts).u)).toBe(32);
    });
    it('H.1.6: 16 effective degrees of freedom, t99 of them 2.92, U99 93 nm', () => {
      const { u, degreesOfFreedom } = expand(parts);
      const t99 = studentTQuantile(0.995, Math.floor(degreesOfFreedom));
      expect(Math.floor(degreesOfFreedom)).toBe(16);
      expect(t99).toBeCloseTo(2.92, 2);
      expect(Math.round(t99 * Math.round(u))).toBe(93);
    });
    it('at 95 per cent the program states 2.12 of them by Student (table G.2, 16 degrees of freedom)', () => {
      const { u, expandedU, coverageFactor } = expand(parts);
      expect(coverageFactor).toBeCloseTo(2.12, 1);
      expect(coverageFactor).toBe(studentTQuantile(0.975, expand(parts).degreesOfFreedom));
      expect(expandedU).toBe(coverageFactor * u);
    });
  });

  /** Table G.2, all six columns: 68.27, 90, 95, 95.45, 99 and 99.73 per cent. */
  const fractions = [0.6827, 0.9, 0.95, 0.9545, 0.99, 0.9973];
  it.each([
    [1, 1.84, 6.31, 12.71, 13.97, 63.66, 235.8],
    [2, 1.32, 2.92, 4.3, 4.53, 9.92, 19.21],
    [3, 1.2, 2.35, 3.18, 3.31, 5.84, 9.22],
    [5, 1.11, 2.02, 2.57, 2.65, 4.03, 5.51],
    [10, 1.05, 1.81, 2.23, 2.28, 3.17, 3.96],
    [16, 1.03, 1.75, 2.12, 2.17, 2.92, 3.54],
    [20, 1.03, 1.72, 2.09, 2.13, 2.85, 3.42],
    [50, 1.01, 1.68, 2.01, 2.05, 2.68, 3.16],
    [100, 1.005, 1.66, 1.984, 2.025, 2.626, 3.077],
    [Number.POSITIVE_INFINITY, 1, 1.645, 1.96, 2, 2.576, 3],
  ])('table G.2: Student t for %d degrees of freedom', (dof, ...printed) => {
    printed.forEach((t, i) => {
      const fraction = fractions[i] ?? Number.NaN;
      const found = studentTQuantile((1 + fraction) / 2, dof);
      // Two decimals, three from 100 on; 63.66 and 235.80 depend on the fraction's own last digit.
      const digit = dof >= 100 ? 0.0005 : 0.005;
      expect(Math.abs(found - t), `${fraction}`).toBeLessThan(Math.max(digit * 1.01, 2e-4 * t));
    });
  });

  it('G.4: one part alone keeps its degrees of freedom, and an expanded uncertainty of 95 per cent takes their t', () => {
    for (const [dof, t] of [
      [1, 12.71],
      [4, 2.78],
      [10, 2.23],
    ] as const) {
      const { degreesOfFreedom, coverageFactor } = expand([{ u: 7, degreesOfFreedom: dof }]);
      expect(degreesOfFreedom).toBeCloseTo(dof, 12);
      expect(coverageFactor).toBeCloseTo(t, 2);
    }
  });

  it('the Student distribution has its closed forms for 1 and 2 degrees of freedom (computed from the definition)', () => {
    for (const t of [-7, -0.3, 0.2, 1, 4.3, 40]) {
      expect(studentTProbability(t, 1)).toBeCloseTo(0.5 + Math.atan(t) / Math.PI, 13);
      expect(studentTProbability(t, 2)).toBeCloseTo(0.5 + t / (2 * Math.sqrt(2 + t * t)), 13);
    }
  });
});

describe('the additive models of JCGM 101:2008, 9.2 (four inputs; figures of tables 2 to 4)', () => {
  const four = (...u: number[]) => expand(u.map((one) => ({ u: one, degreesOfFreedom: null })));

  it('9.2.2, four normal inputs of u 1: u 2.0, 95 per cent within 3.92', () => {
    expect(four(1, 1, 1, 1).u).toBeCloseTo(2, 12);
    expect(four(1, 1, 1, 1).expandedU).toBeCloseTo(3.92, 2);
  });

  it('9.2.3, four rectangular ones of u 1: the same 3.92, and Monte Carlo finds 3.88: stated wider, never narrower', () => {
    const half = Math.sqrt(3);
    const { u, expandedU } = four(...Array.from({ length: 4 }, () => rectangularU(half)));
    expect(u).toBeCloseTo(2, 12);
    expect(expandedU).toBeCloseTo(3.92, 2);
    expect(expandedU).toBeGreaterThan(3.88);
  });

  it('9.2.4, one of them of u 10: u 10.1 and 19.9, where Monte Carlo finds 17.0', () => {
    const { u, expandedU } = four(1, 1, 1, rectangularU(10 * Math.sqrt(3)));
    expect(u).toBeCloseTo(10.1, 1);
    expect(expandedU).toBeCloseTo(19.9, 1);
    expect(expandedU).toBeGreaterThan(17);
  });
});

describe('a level on a 0 to 400 bar gauge of 0.25 % and 0.1 bar (computed from the definitions)', () => {
  const gauge: GaugeSpec = {
    serial: 'SN 40117',
    rangeLowPa: pressurePa(0),
    rangeHighPa: pressurePa(400 * bar),
    resolutionPa: pressureDifferencePa(0.1 * bar),
    accuracyOfSpan: 0.0025,
  };

  it('u 0.5781 bar, U 1.1561 bar', () => {
    const u = Math.sqrt(levelBudget(gauge).reduce((sum, line) => sum + line.u ** 2, 0));
    expect(u / bar).toBeCloseTo(0.5781, 4);
    expect(levelUncertainty(gauge) / bar).toBeCloseTo(1.1561, 4);
  });

  it('a calibration uncertainty of 0.0414 bar at k = 2 is u 0.0207 bar (common practice, no source)', () => {
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
});
