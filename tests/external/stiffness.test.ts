import { describe, expect, it } from 'vitest';
import {
  aeratedStiffnessPa,
  expectedStiffness,
  fallAsHeatLeavesPa,
  heatOfCompressionK,
  hoopStressPa,
  type ShutIn,
  seriesStiffnessPa,
  thinPipeStiffnessPa,
  trappedOil,
  userFluid,
  wallStiffnessPa,
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

describe('stiffness in series', () => {
  // 1/K = 1/K_liquid + 1/K_container + (V_gas/V)/K_gas; inputs of Doebelin, after 4-49; result computed.
  const mix = {
    liquidPa: psi(250_000),
    containerPa: thinPipeStiffnessPa({ diameterM: 10, wallM: 1, youngPa: psi(30e6) }),
    gasFractionAtPressure: 0.01,
    absolutePa: psi(500),
  };
  it('steel pipe D/t = 10, 1 % air at 500 psi: slow 41 096, fast 53 708 psi', () => {
    printedAs(aeratedStiffnessPa({ ...mix, process: 'slow' }), 'pressure', 'psi', '41096');
    printedAs(aeratedStiffnessPa({ ...mix, process: 'fast' }), 'pressure', 'psi', '53708');
  });

  // The same formula in Merritt, ch. 2 (from memory): 1/(1/220 000 + 1/3 000 000 + 0.01/700) psi (computed).
  it('220 000 psi oil, a thin steel pipe of D/t = 10 and 1 % of air at 500 psi, fast: 52 180 psi', () => {
    printedAs(mix.containerPa, 'pressure', 'psi', '3000000');
    const merritt = { ...mix, liquidPa: psi(220_000), process: 'fast' } as const;
    printedAs(aeratedStiffnessPa(merritt), 'pressure', 'psi', '52180');
    printedAs(aeratedStiffnessPa({ ...merritt, gasFractionAtPressure: 0 }), 'pressure', 'psi', '204969');
    const { containerPa: _, ...bare } = { ...merritt, gasFractionAtPressure: 0 };
    printedAs(aeratedStiffnessPa(bare), 'pressure', 'psi', '220000');
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

  it('D/t = 1000: within 1 % of E t/D', () => {
    const thick = wallStiffnessPa({ insideM: 1, outsideM: 1.002 });
    expect(thick / thinPipeStiffnessPa({ diameterM: 1, wallM: 0.001, youngPa: 207e9 })).toBeCloseTo(1, 2);
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
    printedAs(seriesStiffnessPa([{ stiffnessPa: 1.5e9 }, { stiffnessPa: wallPa }]), 'pressure', 'GPa', together);
  });

  it('the trapped oil of a hold has the same stiffness', () => {
    const { bulkModulusPa } = trappedOil({ ...onAWithBarrel, atPa: bar(250) });
    printedAs(bulkModulusPa, 'pressure', 'GPa', computed.stiffnessWithBarrelGPa);
  });

  it('100/120 mm at 250 bar: 138.6 MPa at the bore', () => {
    printedAs(hoopStressPa({ insideM: 0.1, outsideM: 0.12 }, bar(250)), 'pressure', 'MPa', '138.6');
  });

  it('bore 60, outside 100 mm, 20 MPa inside, 5 MPa outside: 26.875 and 11.875 MPa', () => {
    const [wall, outside] = [{ insideM: 0.06, outsideM: 0.1 }, pressurePa(5e6)];
    printedAs(hoopStressPa(wall, pressurePa(20e6), { outside }), 'pressure', 'MPa', '26.875');
    printedAs(hoopStressPa(wall, pressurePa(20e6), { outside, at: 'outside' }), 'pressure', 'MPa', '11.875');
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
