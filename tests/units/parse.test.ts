import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Dimension,
  DwellmarkError,
  findUnit,
  formatQuantity,
  fromSi,
  parsePressure,
  parseQuantity,
  parseTemperature,
  toSi,
  unitTable,
  usualUnits,
} from '../../src/units/index.js';

const dimensions = Object.keys(unitTable) as Dimension[];
const everyUnit = dimensions.flatMap((dimension) =>
  Object.keys(unitTable[dimension]).map((name) => ({ dimension, name })),
);

describe('reading a quantity', () => {
  it.each([
    ['160 bar', 'pressure', 16e6],
    ['160bar', 'pressure', 16e6],
    ['  1.6e2  bar ', 'pressure', 16e6],
    ['.5 MPa', 'pressure', 5e5],
    ['5. bar', 'pressure', 5e5],
    ['+2 bar', 'pressure', 2e5],
    ['10 barg', 'pressure', 1e6],
    ['25 N/mm2', 'pressure', 25e6],
    ['0.2 mL/min', 'flow', 0.2e-6 / 60],
    ['0.5 bar/min', 'pressure-rate', 5e4 / 60],
    ['100 kgf/cm²', 'pressure', 9_806_650],
    ['25 µm', 'length', 25e-6],
    ['25 μm', 'length', 25e-6],
    ['7.0e-4 /K', 'expansion', 7e-4],
    ['0.00043 /°F', 'expansion', 0.000774],
    ['40 mPa s', 'dynamic-viscosity', 0.04],
    ['40 mPa·s', 'dynamic-viscosity', 0.04],
    ['2 %', 'ratio', 0.02],
    ['1.5', 'ratio', 1.5],
  ] as const)('%s is a %s', (text, dimension, si) => {
    expect(parseQuantity(text, dimension)).toBeCloseTo(si, 12);
  });

  it('tells a temperature from a temperature difference', () => {
    expect(parseTemperature('20 °C')).toBeCloseTo(293.15, 10);
    expect(parseTemperature('68 °F')).toBeCloseTo(293.15, 10);
    expect(parseTemperature('−40 °F')).toBeCloseTo(233.15, 10);
    expect(parseQuantity('9 °F', 'temperature-difference')).toBeCloseTo(5, 12);
  });

  it('reads back what it prints, minus sign and no-break space included', () => {
    expect(formatQuantity(-5e5, 'pressure', 'bar', 1)).toBe('−5.0\u00a0bar');
    expect(parseQuantity('−5.0\u00a0bar', 'pressure')).toBe(-5e5);
  });

  it.each([
    ['160', 'has no unit'],
    ['', 'is not a pressure'],
    ['bar', 'is not a pressure'],
    ['1.2.3 bar', 'has the unit ".3 bar"'],
    ['160 psia', 'has the unit "psia"'],
    ['160 mL', 'has the unit "mL"'],
    ['12,5 bar', 'has a decimal comma'],
    ['1 000 bar', 'has the unit "000 bar"'],
    ['0x10 bar', 'has the unit "x10 bar"'],
    ['NaN bar', 'is not a pressure'],
    ['Infinity bar', 'is not a pressure'],
    ['1e999 bar', 'is too large a number'],
    ['5 constructor', 'has the unit "constructor"'],
    ['5 __proto__', 'has the unit "__proto__"'],
  ])('refuses %j as a pressure: it %s', (text, what) => {
    expect(() => parsePressure(text)).toThrow(what);
  });

  it('refuses a temperature below absolute zero', () => {
    expect(() => parseTemperature('-300 °C')).toThrow('lies below absolute zero');
    expect(parseTemperature('-273.15 °C')).toBe(0);
  });

  it('says where the trouble is and gives an example in a usual unit', () => {
    const place = { file: 'job.toml', line: 12, key: 'cylinder.bore' };
    const refusal = (() => {
      try {
        parseQuantity('100', 'length', place);
      } catch (error) {
        return error;
      }
      return undefined;
    })();
    expect(refusal).toBeInstanceOf(DwellmarkError);
    expect(refusal).toMatchObject({ code: 'input', place });
    expect((refusal as DwellmarkError).advice).toContain('"10 mm"');
  });
});

describe('the unit table', () => {
  it('knows every unit that a refusal names', () => {
    for (const dimension of dimensions)
      for (const name of usualUnits[dimension]) expect(findUnit(dimension, name), `${dimension} ${name}`).toBeDefined();
  });

  it('has a positive, finite factor everywhere and an offset only for temperatures', () => {
    for (const { dimension, name } of everyUnit) {
      const unit = findUnit(dimension, name);
      expect(unit?.factor, name).toBeGreaterThan(0);
      expect(Number.isFinite(unit?.factor), name).toBe(true);
      if (dimension !== 'temperature') expect(unit?.offset, name).toBeUndefined();
    }
  });

  it('converts there and back', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...everyUnit),
        fc.double({ min: -1e9, max: 1e9, noNaN: true }).filter((value) => value === 0 || Math.abs(value) > 1e-200),
        ({ dimension, name }, value) => {
          const unit = findUnit(dimension, name);
          if (!unit) throw new Error(name);
          const back = fromSi(toSi(value, unit), unit);
          expect(Math.abs(back - value)).toBeLessThanOrEqual(
            1e-12 * Math.abs(value) + 1e-11 * Math.abs(unit.offset ?? 0),
          );
        },
      ),
    );
  });

  it('reads a written number as the product of number and factor', () => {
    const plain = everyUnit.filter(({ dimension, name }) => dimension !== 'temperature' && name !== '');
    fc.assert(
      fc.property(
        fc.constantFrom(...plain),
        fc.double({ min: -1e12, max: 1e12, noNaN: true }),
        ({ dimension, name }, value) => {
          const read = parseQuantity(`${value} ${name}`, dimension);
          expect(read).toBe(value * (findUnit(dimension, name)?.factor ?? Number.NaN) + 0);
        },
      ),
    );
  });

  it('never reads a number without its unit, whatever stands around it', () => {
    fc.assert(
      fc.property(
        fc.double({ noNaN: true, noDefaultInfinity: true }),
        fc.stringMatching(/^[ \t]*$/),
        (value, space) => {
          expect(() => parsePressure(`${space}${value}${space}`)).toThrow(DwellmarkError);
        },
      ),
    );
  });

  it('throws nothing but a DwellmarkError, for any text', () => {
    fc.assert(
      fc.property(fc.string(), fc.constantFrom(...dimensions), (text, dimension) => {
        try {
          expect(Number.isFinite(parseQuantity(text, dimension))).toBe(true);
        } catch (error) {
          expect(error).toBeInstanceOf(DwellmarkError);
        }
      }),
    );
  });
});
