import { describe, expect, it } from 'vitest';
import { tangentModulusPa } from '../../src/hydraulics/fluids.js';
import { findFluid, fluidNames, userFluid } from '../../src/hydraulics/index.js';
import { DwellmarkError, pressurePa } from '../../src/units/index.js';
import { fluidNamed } from './sample-cylinder.js';

describe('fluids by name', () => {
  it('are the mineral grades, two fire-resistant ones and water', () => {
    expect(fluidNames).toEqual(['ISO VG 22', 'ISO VG 32', 'ISO VG 46', 'ISO VG 68', 'HFC', 'HFD', 'water']);
  });

  it.each([
    ['iso vg 46', 'ISO VG 46'],
    ['ISO-VG-46', 'ISO VG 46'],
    ['VG46', 'ISO VG 46'],
    ['hfc', 'HFC'],
    ['Water glycol', 'HFC'],
    ['HFD-R', 'HFD'],
    ['Water', 'water'],
    ['HLP 46', 'ISO VG 46'],
    ['HM-46', 'ISO VG 46'],
    ['HV 32', 'ISO VG 32'],
    ['hvlp 68', 'ISO VG 68'],
    ['HFC 46', 'HFC'],
    ['phosphate ester', 'HFD'],
  ])('%s is %s', (written, name) => {
    expect(findFluid(written)?.name).toBe(name);
  });

  it.each(['HLP 47', 'HLP', 'XHM 46', 'ISO VG 47', '', 'olive oil', 'constructor'])('%j is none', (written) => {
    expect(findFluid(written)).toBeUndefined();
  });

  it('each has physical figures, honest uncertainties and a source', () => {
    for (const name of fluidNames) {
      const fluid = fluidNamed(name);
      expect(fluid.bulkModulusPa, name).toBeGreaterThan(1e9);
      expect(fluid.bulkModulusPa, name).toBeLessThan(4e9);
      expect(fluid.bulkModulusRelU, name).toBeGreaterThanOrEqual(0.03);
      expect(fluid.bulkModulusRelU, name).toBeLessThanOrEqual(0.1);
      expect(fluid.expansionRelU, name).toBeGreaterThan(0);
      expect(fluid.source.length, name).toBeGreaterThan(20);
    }
  });

  it('a mineral grade is its kinematic viscosity at 40 °C', () => {
    const oil = fluidNamed('ISO VG 46');
    expect((oil.viscosityPaS / oil.densityKgPerM3) * 1e6).toBeCloseTo(46, 9);
    expect(oil.viscosityAtK).toBeCloseTo(313.15, 9);
  });
});

describe("a fluid of the job's own", () => {
  it('takes what is stated and the rest from ISO VG 46, and says so', () => {
    const fluid = userFluid({ bulkModulusPa: 1.4e9, name: 'shop oil' });
    expect(fluid).toMatchObject({ name: 'shop oil', bulkModulusPa: 1.4e9, bulkModulusRelU: 0.05, expansionPerK: 7e-4 });
    expect(fluid.source).toBe(
      'As stated in the job; expansion, density, heat capacity, viscosity and viscosity temperature of ISO VG 46.',
    );
  });

  it('may start from another fluid that it then names', () => {
    const fluid = userFluid({ bulkModulusPa: 3.2e9 }, {}, fluidNamed('HFC'));
    expect(fluid).toMatchObject({ bulkModulusPa: 3.2e9, expansionPerK: 6.3e-4, densityKgPerM3: 1080 });
    expect(fluid.source).toContain('of HFC');
  });

  it('has a stated modulus at every pressure, and that of its kind rises', () => {
    const at = (fluid: ReturnType<typeof userFluid>) => tangentModulusPa(fluid, pressurePa(1050e5));
    expect(at(userFluid({ bulkModulusPa: 1.4e9 }))).toBe(1.4e9);
    expect(at(userFluid({ bulkModulusPa: 3.2e9 }, {}, fluidNamed('HFC')))).toBe(3.2e9);
    expect(at(userFluid({ densityKgPerM3: 860 }))).toBe(at(fluidNamed('ISO VG 46')));
  });

  it('takes a stated uncertainty', () => {
    expect(userFluid({ bulkModulusPa: 1.4e9, bulkModulusRelU: 0.02 }).bulkModulusRelU).toBe(0.02);
  });

  it.each([
    [{ bulkModulusPa: 0 }, 'bulk modulus'],
    [{ bulkModulusPa: Number.NaN }, 'bulk modulus'],
    [{ expansionPerK: -7e-4 }, 'expansion'],
    [{ densityKgPerM3: Number.POSITIVE_INFINITY }, 'density'],
  ])('refuses %j', (stated, what) => {
    expect(() => userFluid(stated, { key: 'fluid' })).toThrow(what);
    expect(() => userFluid(stated)).toThrow(DwellmarkError);
  });
});
