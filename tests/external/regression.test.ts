import { describe, expect, it } from 'vitest';
import { lineOf } from './line.js';

/** Decimal digits in which a value agrees with a certified one: -log10 of the relative error (NIST StRD's LRE). */
const digits = (value: number, certified: number): number =>
  value === certified ? 16 : -Math.log10(Math.abs((value - certified) / certified));

const numbers = (text: string): number[] => text.trim().split(/\s+/).map(Number);

describe('certified regression data, NIST StRD', () => {
  /** NIST StRD Norris: calibration of ozone monitors, y = B0 + B1 x, 36 observations. */
  const norrisX = numbers(`0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 0.4 0.6 775.5 666.9 338.0
    447.5 11.6 556.0 228.1 995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999.0 779.0 11.1 118.3 229.2 669.1 448.9 0.5`);
  const norrisY = numbers(`0.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1 668.8 339.3
    448.9 10.8 557.7 228.3 998.0 888.8 119.6 0.3 0.6 557.6 339.3 888.0 998.5 778.9 10.2 117.6 228.9 668.4 449.2 0.2`);

  it('Norris: slope, intercept, their standard deviations and the residual one to 10 digits', () => {
    expect(norrisX).toHaveLength(36);
    const result = lineOf(norrisX, norrisY);
    expect(digits(result.slope, 1.00211681802045)).toBeGreaterThan(10);
    expect(digits(result.slopeSd, 0.429796848199937e-3)).toBeGreaterThan(10);
    expect(digits(result.intercept, -0.262323073774029)).toBeGreaterThan(10);
    expect(digits(result.interceptSd, 0.232818234301152)).toBeGreaterThan(10);
    expect(digits(result.residualSd, 0.884796396144373)).toBeGreaterThan(10);
  });

  it('a time axis in milliseconds since 1970 costs the slope nothing', () => {
    const near = Array.from({ length: 3000 }, (_, i) => i * 100);
    const pressures = near.map((_, i) => 240e5 - 3 * i + 400 * Math.sin(i * i));
    const far = near.map((ms) => 1.79e12 + ms);
    expect(digits(lineOf(far, pressures).slope, lineOf(near, pressures).slope)).toBeGreaterThan(11);
    expect(digits(lineOf(far, pressures).slopeSd, lineOf(near, pressures).slopeSd)).toBeGreaterThan(11);
  });
});
