import Qty from 'js-quantities';
import { describe, expect, it } from 'vitest';
import {
  type Dimension,
  findUnit,
  formatQuantity,
  parsePressure,
  parseQuantity,
  unitTable,
  valueIn,
} from '../../src/units/index.js';
import { toDigits } from './printed.js';

/** Agreement to a share of the figure. */
function expectWithin(actual: number, expected: number, share: number): void {
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(share * Math.abs(expected));
}

describe('NIST SP 811 (2008), Appendix B.8', () => {
  it.each([
    ['psi', 'pressure', 6.894757e3],
    ['kgf/cm2', 'pressure', 9.80665e4],
    ['lbf', 'force', 4.448222],
  ] as const)('one %s', (unit, dimension, si) => {
    expectWithin(parseQuantity(`1 ${unit}`, dimension), si, 1e-7);
  });
});

describe('computed from the definitions of pound, inch, gallon and standard gravity', () => {
  it('one psi is 6894.757293168361 Pa', () => {
    expectWithin(parsePressure('1 psi'), 6894.757293168361, 1e-15);
  });
  it.each([
    ['1 bar', 'pressure', 'psi', '14.503773773'],
    ['3000 psi', 'pressure', 'bar', '206.842719'],
    ['250 bar', 'pressure', 'psi', '3625.943443'],
    ['1 in3', 'volume', 'mL', '16.387064'],
    ['9 degF', 'temperature-difference', 'K', '5.000000000'],
    ['375 bar', 'pressure', 'MPa', '37.5'],
  ] as const)('%s', (written, dimension, unit, printed) => {
    toDigits(valueIn(parseQuantity(written, dimension), dimension, unit), printed);
  });
});

describe('temperature differences have no offset (computed)', () => {
  it('60 degF of difference are 33.3 K, not the 15.5 of Grove RT765E-2, p. 2-41', () => {
    expect(formatQuantity(parseQuantity('60 degF', 'temperature-difference'), 'temperature-difference', 'K', 1)).toBe(
      '33.3\u00a0K',
    );
    expect(valueIn(parseQuantity('60 degF', 'temperature'), 'temperature', 'C')).toBeCloseTo(15.56, 2);
  });
});

/** Our names in the words of the general-purpose library js-quantities; units that it does not know are left out. */
const theirWords = (name: string): string =>
  name
    .replace(/(?:deg|°)?([CF])(?=$|\/)/g, 'deg$1')
    .replace(/(?<=^|\/)K(?=$|\/)/, 'degK')
    .replace(/^(mL|L)(?=$|\/)/, '$1')
    .replace(/^\//, '1/')
    .replace(/^1\/K$/, '1/degK');

const unknownToThem = /H2O|ksi|kgf|cc|cm2\/|N\/mm2|barg|psig|kg K|kgK|Pa s|^$/;

const shared = (Object.keys(unitTable) as Dimension[])
  .filter((dimension) => dimension !== 'temperature')
  .flatMap((dimension) =>
    Object.keys(unitTable[dimension])
      .filter((name) => !unknownToThem.test(name))
      .map((name) => [dimension, name] as const),
  );

describe('against js-quantities', () => {
  it.each(shared)('%s in %s', (dimension, name) => {
    // It keeps psi and lbf to six and seven digits.
    expectWithin(findUnit(dimension, name)?.factor ?? Number.NaN, Qty(1, theirWords(name)).baseScalar, 1e-6);
  });

  it('compares more than a hundred units', () => {
    expect(shared.length).toBeGreaterThan(100);
  });

  it.each([
    [20, 'C', 'tempC'],
    [-40, 'F', 'tempF'],
    [120, 'F', 'tempF'],
  ])('%d %s as a temperature', (value, ours, theirs) => {
    expect(parseQuantity(`${value} ${ours}`, 'temperature')).toBeCloseTo(Qty(value, theirs).to('tempK').scalar, 9);
  });
});
