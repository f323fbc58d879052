import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  decimalsFor,
  formatIn,
  formatNumber,
  formatQuantity,
  formatSignificant,
  shownUnit,
  valueIn,
} from '../../src/units/index.js';

describe('a figure for a person', () => {
  it.each([
    [16e6, 'bar', 1, '160.0\u00a0bar'],
    [16e6, 'psi', 0, '2321\u00a0psi'],
    [-16e6, 'psi', 0, '−2321\u00a0psi'],
    [16e6, 'MPa', 2, '16.00\u00a0MPa'],
    [9_806_650, 'kgf/cm2', 1, '100.0\u00a0kgf/cm²'],
    [-1, 'bar', 1, '0.0\u00a0bar'],
    [-3000, 'psi', 0, '0\u00a0psi'],
    [-0, 'bar', 1, '0.0\u00a0bar'],
    [Number.NaN, 'bar', 1, 'n/a\u00a0bar'],
  ])('%d Pa in %s', (si, unit, decimals, text) => {
    expect(formatQuantity(si, 'pressure', unit, decimals)).toBe(text);
  });

  it('prints a ratio without a unit and a percentage with one', () => {
    expect(formatQuantity(1.5, 'ratio', '', 1)).toBe('1.5');
    expect(formatQuantity(0.02, 'ratio', '%', 0)).toBe('2\u00a0%');
    expect(formatIn(3.3e-9, 'flow', 'mL/min', 3)).toBe('0.198');
  });

  it('calls a unit that does not exist a bug', () => {
    expect(() => valueIn(1, 'pressure', 'furlong')).toThrow('no unit "furlong" for pressure');
  });

  it.each([
    ['C', '°C'],
    ['degF', '°F'],
    ['°C', '°C'],
    ['psi/F', 'psi/°F'],
    ['/degF', '/°F'],
    ['cm2', 'cm²'],
    ['in3/min', 'in³/min'],
    ['kgf/cm2/min', 'kgf/cm²/min'],
    ['um', 'µm'],
    ['ft', 'ft'],
    ['K', 'K'],
  ])('%s is printed as %s', (name, shown) => {
    expect(shownUnit(name)).toBe(shown);
  });
});

describe('significant digits', () => {
  it.each([
    [0.261799, 3, '0.262'],
    [0.0714286, 3, '0.0714'],
    [-0.0714286, 3, '−0.0714'],
    [9.9996, 3, '10.0'],
    [0.9999, 3, '1.00'],
    [99.96, 3, '100'],
    [3926.99, 3, '3927'],
    [0, 3, '0'],
    [-0, 3, '0'],
    [1e-15, 3, '0'],
    [-1e-15, 3, '0'],
    [Number.POSITIVE_INFINITY, 3, 'n/a'],
  ])('%d to %d is %s', (value, digits, text) => {
    expect(formatSignificant(value, digits)).toBe(text);
  });

  it('is never further off than half of the last digit asked for, and never in exponent form', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1e9, noNaN: true }), fc.integer({ min: 1, max: 6 }), (value, digits) => {
        const text = formatSignificant(value, digits);
        expect(text).toMatch(/^\d+(\.\d+)?$/);
        expect(Math.abs(Number(text) - value) / value).toBeLessThanOrEqual(0.5 * 10 ** (1 - digits) * (1 + 1e-9));
      }),
    );
  });

  it('never prints a negative zero', () => {
    fc.assert(
      fc.property(fc.double({ min: -10, max: 10, noNaN: true }), fc.integer({ min: 0, max: 6 }), (value, decimals) => {
        const text = formatNumber(value, decimals);
        expect(text).not.toMatch(/^[-−]0*\.?0*$/);
        expect(text).not.toContain('-');
        expect(Math.abs(Number(text.replace('−', '-')) - value)).toBeLessThanOrEqual(0.5 * 10 ** -decimals + 1e-12);
      }),
    );
  });
});

describe('decimals that an uncertainty leaves', () => {
  it.each([
    [0.0423, 3],
    [0.5781, 2],
    [1.2, 1],
    [12, 0],
    [1200, 0],
    [0, 2],
    [Number.NaN, 2],
  ])('%d leaves %d', (uncertainty, decimals) => {
    expect(decimalsFor(uncertainty)).toBe(decimals);
  });
});
