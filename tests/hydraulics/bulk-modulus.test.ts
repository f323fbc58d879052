import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { secantModulusPa, tangentModulusPa } from '../../src/hydraulics/fluids.js';
import { expectedStiffness, fluidNames, trappedOil } from '../../src/hydraulics/index.js';
import { bar, fluidNamed, heldOnA } from './sample-cylinder.js';

const pressures = fc.double({ min: 1, max: 1400, noNaN: true });
const fluids = fc.constantFrom(...fluidNames).map(fluidNamed);

describe('bulk modulus against pressure', () => {
  it('the tangent is the slope of what the secant says is lost', () => {
    fc.assert(
      fc.property(fluids, pressures, (fluid, at) => {
        const volume = (p: number): number => 1 - (p * 1e5) / secantModulusPa(fluid, bar(p));
        const slope = (volume(at - 0.01) - volume(at + 0.01)) / 0.02e5;
        expect(tangentModulusPa(fluid, bar(at)) * (slope / volume(at))).toBeCloseTo(1, 5);
      }),
    );
  });

  it('rises with pressure, the tangent faster than the secant', () => {
    fc.assert(
      fc.property(fluids, pressures, (fluid, at) => {
        expect(tangentModulusPa(fluid, bar(at))).toBeGreaterThan(secantModulusPa(fluid, bar(at)));
        expect(secantModulusPa(fluid, bar(at + 1))).toBeGreaterThan(secantModulusPa(fluid, bar(at)));
      }),
    );
  });

  it('a hold takes the secant for the oil that fills the rise, and the tangent for its stiffness', () => {
    fc.assert(
      fc.property(fluids, pressures, (fluid, at) => {
        const hold = { ...heldOnA, fluid };
        const { oilM3 } = expectedStiffness(hold, bar(0), bar(at));
        expect((oilM3 * secantModulusPa(fluid, bar(at))) / (3.92699e-3 * at * 1e5)).toBeCloseTo(1, 5);
        expect(trappedOil({ ...hold, atPa: bar(at) }).bulkModulusPa / tangentModulusPa(fluid, bar(at))).toBeCloseTo(
          1,
          9,
        );
      }),
    );
  });
});
