import { describe, expect, it } from 'vitest';
import { wallStiffnessPa } from '../../src/hydraulics/geometry.js';
import {
  expectedStiffness,
  fallAsHeatLeavesPa,
  heatOfCompressionK,
  type ShutIn,
  trappedOil,
  userFluid,
} from '../../src/hydraulics/index.js';
import { pressureDifferencePa, pressurePa, temperatureK, valueIn } from '../../src/units/index.js';
import { computed } from './computed-figures.js';
import { bar, mm, printedAs, psi, toDigits } from './printed.js';

/** 3926.99 mL behind a 100 mm bore and 500 mm stroke, oil of 1.5 GPa. */
const onA: ShutIn = {
  cylinder: { kind: 'double-acting', boreM: 0.1, rodM: 0.056, strokeM: 0.5, ratedPressurePa: bar(160) },
  port: 'A',
  position: 'extended',
  fluid: userFluid({
    bulkModulusPa: 1.5e9,
    expansionPerK: 7e-4,
    densityKgPerM3: 870,
    heatCapacityJPerKgK: 1900,
  }),
  lineVolumeM3: 0,
};
const onAWithBarrel: ShutIn = { ...onA, cylinder: { ...onA.cylinder, barrelOutsideM: 0.12 } };

describe('oil with air, 1/K = 1/K_liquid + (V_gas/V)/K_gas', () => {
  // Merritt, ch. 2 (from memory): 1/(1/220 000 + 0.01/700) psi, 1 % of gas at 500 psi absolute, fast (computed: 53 103).
  it('220 000 psi oil and 1 % of air at 500 psi absolute, fast: 53 103 psi', () => {
    const atPa = pressurePa(psi(500) - 101_325);
    const fluid = userFluid({
      bulkModulusPa: psi(220_000),
      expansionPerK: 7e-4,
      densityKgPerM3: 870,
      heatCapacityJPerKgK: 1900,
    });
    const airFraction = 0.01 * (psi(500) / 101_325) ** (1 / 1.4);
    const { bulkModulusPa } = trappedOil({ ...onA, fluid, airFraction, atPa, airProcess: 'fast' });
    printedAs(bulkModulusPa, 'pressure', 'psi', '53103');
  });
});

/**
 * Merritt, ch. 2 (from memory): 1/Kc = (2/E) ((1 + nu) Do2 + (1 - nu) Di2)/(Do2 - Di2), which comes to E t/D of a thin
 * wall and to E/(2 (1 + nu)) of one without end.
 */
describe('the wall as a container in the form of Merritt, ch. 2', () => {
  it.each([
    [100, 120],
    [63, 78],
    [40, 60],
    [200, 400],
  ])('%d/%d mm', (inside, outside) => {
    const [di, doo] = [inside ** 2, outside ** 2];
    const merritt = (207e9 / 2) * ((doo - di) / (1.3 * doo + 0.7 * di));
    expect(wallStiffnessPa({ insideM: mm(inside), outsideM: mm(outside) }) / merritt).toBeCloseTo(1, 12);
  });

  it('a bore in a block: 79.6 GPa', () => {
    printedAs(wallStiffnessPa({ insideM: 0.1, outsideM: 100 }), 'pressure', 'GPa', '79.6');
  });
});

describe('thick barrels (Lame, open ends, E 207 GPa, nu 0.3; computed)', () => {
  it.each([
    [100, 120, '17.71', computed.stiffnessWithBarrelGPa],
    [63, 78, '20.48', '1.398'],
  ])('%d/%d mm', (inside, outside, wall, together) => {
    const wallPa = wallStiffnessPa({ insideM: mm(inside), outsideM: mm(outside) });
    printedAs(wallPa, 'pressure', 'GPa', wall);
    printedAs(1 / (1 / 1.5e9 + 1 / wallPa), 'pressure', 'GPa', together);
  });

  it('the trapped oil of a hold has the same stiffness', () => {
    const { bulkModulusPa } = trappedOil({ ...onAWithBarrel, atPa: bar(250) });
    printedAs(bulkModulusPa, 'pressure', 'GPa', computed.stiffnessWithBarrelGPa);
  });
});

describe('oil for 250 bar in a 100/56 x 500 mm cylinder (computed)', () => {
  const oilMl = (hold: ShutIn): number => valueIn(expectedStiffness(hold, bar(0), bar(250)).oilM3, 'volume', 'mL');
  it('65.4 mL rigid', () => toDigits(oilMl(onA), computed.oilMl));
  it('71.0 mL with a 100/120 mm barrel', () => toDigits(oilMl(onAWithBarrel), computed.oilWithBarrelMl));
  it.each(computed.airAddsMl)('%d of free air adds', (airFraction, added) =>
    toDigits(oilMl({ ...onA, airFraction }) - oilMl(onA), added),
  );
});

describe('heat of compression: 7e-4 /K, 300 K, 870 kg/m3, 1900 J/(kg K), 250 bar (computed)', () => {
  const warm = temperatureK(300);
  it('quick pumping warms the oil by 3.18 K', () => {
    toDigits(heatOfCompressionK(onA.fluid, warm, pressureDifferencePa(250e5)), computed.heatK);
  });
  it('a fast modulus of 1.5 GPa is 1.133 times the slow one, and 29.4 bar go as the heat leaves', () => {
    // 1/Ks = 1/Kt - gamma2 T/(rho cp).
    const slowPa = 1 / (1 / 1.5e9 + (7e-4 ** 2 * 300) / (870 * 1900));
    toDigits(1.5e9 / slowPa, '1.133');
    const slow = { ...onA.fluid, bulkModulusPa: slowPa };
    printedAs(fallAsHeatLeavesPa(slow, warm, bar(250), slowPa), 'pressure', 'bar', computed.heatGoesBar);
  });
});
