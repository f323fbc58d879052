import { describe, expect, it } from 'vitest';
import { leakRate, rateOfLeak } from '../../src/evaluation/index.js';
import {
  aeratedStiffnessPa,
  areaRatio,
  type Cylinder,
  chamberVolumeM3,
  circleM2,
  clearanceFlowM3PerS,
  columnGrowthM,
  decayForLeakPaPerS,
  driftM,
  dropsToM3,
  expectedStiffness,
  fallAsHeatLeavesPa,
  fallIntoDeadVolumePa,
  heatOfCompressionK,
  hoopStressPa,
  intensifiedPressure,
  leakForDecayM3PerS,
  pistonAreaM2,
  pullForceN,
  pushForceN,
  type ShutIn,
  seriesStiffnessPa,
  settleWaitS,
  thermalPressurePaPerK,
  thinPipeStiffnessPa,
  trappedOil,
  userFluid,
  wallStiffnessPa,
} from '../../src/hydraulics/index.js';
import {
  type Dimension,
  parsePressure,
  parseQuantity,
  pressureDifferencePa,
  pressurePa,
  temperatureDifferenceK,
  temperatureK,
  valueIn,
} from '../../src/units/index.js';

// Every figure stands beside its source. "Computed from the definition": it follows from the inputs shown.

/** A quantity as it is written, in SI. */
const si = (text: string, dimension: Dimension): number => parseQuantity(text, dimension);
const mm = (value: number): number => value / 1e3;
const bar = (value: number) => pressurePa(value * 1e5);
const psi = (value: number) => parsePressure(`${value} psi`);

/** Agreement in the digits that the source prints. */
function toDigits(value: number, printed: string): void {
  expect(value.toFixed(printed.split('.')[1]?.length ?? 0)).toBe(printed);
}

/** The same for a figure in SI that the source prints in a unit. */
const printedAs = (figureSi: number, dimension: Dimension, unit: string, printed: string): void =>
  toDigits(valueIn(figureSi, dimension, unit), printed);

function cylinder(boreM: number, rodM: number, strokeM = 0.5): Cylinder {
  return { kind: 'double-acting', boreM, rodM, strokeM, ratedPressurePa: bar(160) };
}

const c100 = cylinder(0.1, 0.056);
const inches = cylinder(si('4 in', 'length'), si('2.5 in', 'length'), si('20 in', 'length'));

/** 3926.99 mL behind a 100 mm bore and 500 mm stroke, oil of 1.5 GPa. */
const onA: ShutIn = {
  cylinder: c100,
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
const onAWithBarrel: ShutIn = { ...onA, cylinder: { ...c100, barrelOutsideM: 0.12 } };
const litres = 3.92699e-3;

describe('cylinder arithmetic', () => {
  // Computed from the definition phi = D2/(D2 - d2).
  it.each([
    [50, 36, '2.0764'],
    [63, 45, '2.0417'],
    [80, 56, '1.9608'],
    [100, 56, '1.4569'],
    [100, 70, '1.9608'],
    [125, 90, '2.0764'],
    [160, 110, '1.8963'],
  ])('area ratio %d/%d', (bore, rod, phi) => {
    toDigits(areaRatio({ boreM: mm(bore), rodM: mm(rod) }), phi);
  });

  it("areas of 100/56 (computed from the definition; a maker's catalogue, title not kept, prints 78.5 and 53.9)", () => {
    printedAs(pistonAreaM2(c100, 'A'), 'area', 'cm2', '78.540');
    printedAs(pistonAreaM2(c100, 'B'), 'area', 'cm2', '53.910');
    printedAs(pistonAreaM2(c100, 'A'), 'area', 'cm2', '78.5');
    printedAs(pistonAreaM2(c100, 'B'), 'area', 'cm2', '53.9');
  });

  // Computed from the definition; a maker's catalogue, title not kept, prints the same.
  it.each([
    [40, '20.1'],
    [50, '31.4'],
    [63, '49.9'],
    [80, '80.4'],
    [100, '126'],
    [125, '196'],
    [160, '322'],
    [200, '503'],
  ])('push of a %d mm bore at 160 bar', (bore, kN) => {
    printedAs(pushForceN(cylinder(mm(bore), mm(bore / 2)), bar(160)), 'force', 'kN', kN);
  });

  it('push and pull of 100/56 at 160 bar (computed from the definition)', () => {
    printedAs(pushForceN(c100, bar(160)), 'force', 'kN', '125.66');
    printedAs(pullForceN(c100, bar(160)), 'force', 'kN', '86.26');
  });

  it('4 in bore, 2.5 in rod, 3000 psi (computed from the definition; quoted in the trade as 37 698 and 22 974 lbf)', () => {
    printedAs(pushForceN(inches, psi(3000)), 'force', 'lbf', '37699.1');
    printedAs(pullForceN(inches, psi(3000)), 'force', 'lbf', '22972.9');
    expect(Math.abs(valueIn(pushForceN(inches, psi(3000)), 'force', 'lbf') - 37_698)).toBeLessThan(1.5);
    expect(Math.abs(valueIn(pullForceN(inches, psi(3000)), 'force', 'lbf') - 22_974)).toBeLessThan(1.5);
  });

  it('intensification behind a blocked rod-end port (computed from the definition)', () => {
    const three = cylinder(si('3 in', 'length'), si('2 in', 'length'));
    printedAs(intensifiedPressure(three, 'A', psi(2000)) ?? 0, 'pressure', 'psi', '3600');
    printedAs(intensifiedPressure(cylinder(0.1, 0.07), 'A', bar(160)) ?? 0, 'pressure', 'bar', '313.7');
    printedAs(intensifiedPressure(c100, 'A', bar(160)) ?? 0, 'pressure', 'bar', '233.1');
  });

  it('a trade text, title not kept, rounds the areas to 7 and 4 in2 and prints 3500 psi: within 3 % of the exact 3600', () => {
    const three = cylinder(si('3 in', 'length'), si('2 in', 'length'));
    expect(Math.abs((intensifiedPressure(three, 'A', psi(2000)) ?? 0) / psi(3500) - 1)).toBeLessThan(0.03);
  });

  it('volumes (computed from the definition)', () => {
    printedAs(chamberVolumeM3(c100, 'A', 'extended'), 'volume', 'mL', '3926.99');
    printedAs(chamberVolumeM3(c100, 'B', 'retracted'), 'volume', 'mL', '2695.49');
    printedAs(chamberVolumeM3(inches, 'A', 'extended'), 'volume', 'mL', '4118.52');
  });
});

describe('thermal pressure', () => {
  it('rigid 100 in3 of MIL-H-83282 from 70 to 120 degF rise by 6900 psi (worked example of a valve maker, title not kept; 3.0e5 x 0.00046 x 50 computed)', () => {
    const perK = thermalPressurePaPerK({
      stiffnessPa: si('3.0e5 psi', 'modulus'),
      expansionPerK: si('0.00046 /degF', 'expansion'),
    });
    printedAs(perK * si('50 degF', 'temperature-difference'), 'pressure', 'psi', '6900');
  });

  it('mineral oil: about 11 bar per K, 90 psi per degF (fluidpower.pro, "Pressure change due to temperature"): 10.5 and 84.6 here', () => {
    const perK = thermalPressurePaPerK({ stiffnessPa: 1.5e9, expansionPerK: 7e-4 });
    expect(Math.abs(perK / 11e5 - 1)).toBeLessThan(0.07);
    expect(Math.abs(valueIn(perK, 'pressure-per-kelvin', 'psi/degF') / 90 - 1)).toBeLessThan(0.07);
  });

  it('a column of 25 ft warmed by 60 degF grows by 7 3/4 in (published, title not kept; 7.74 computed)', () => {
    const growth = columnGrowthM(
      si('25 ft', 'length'),
      si('0.00043 /degF', 'expansion'),
      temperatureDifferenceK(si('60 degF', 'temperature-difference')),
    );
    printedAs(growth, 'length', 'in', '7.74');
  });
});

describe('stiffness in series', () => {
  // 1/K = 1/K_liquid + 1/K_container + (V_gas/V)/K_gas; inputs of a system-dynamics text, title not kept; result computed.
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
});

describe('thick barrels (Lame, open ends, E 207 GPa, nu 0.3; computed from the definition)', () => {
  it.each([
    [100, 120, '17.71', '1.383'],
    [63, 78, '20.48', '1.398'],
  ])('%d/%d mm', (inside, outside, wall, together) => {
    const wallPa = wallStiffnessPa({ insideM: mm(inside), outsideM: mm(outside) });
    printedAs(wallPa, 'pressure', 'GPa', wall);
    printedAs(seriesStiffnessPa([{ stiffnessPa: 1.5e9 }, { stiffnessPa: wallPa }]), 'pressure', 'GPa', together);
  });

  it('the trapped oil of a hold has the same stiffness', () => {
    printedAs(trappedOil({ ...onAWithBarrel, atPa: bar(250) }).bulkModulusPa, 'pressure', 'GPa', '1.383');
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

describe('leak rate, Q = (V/K) |dp/dt| (computed from the definition)', () => {
  const inMlPerMin = (volumeM3: number, bulkModulusPa: number, ratePaPerS: number): number => {
    const leak = leakForDecayM3PerS({ volumeM3, bulkModulusPa }, ratePaPerS);
    // The evaluation's own, and back.
    expect(leakRate(volumeM3, bulkModulusPa, ratePaPerS)).toBeCloseTo(leak, 18);
    expect(rateOfLeak(volumeM3, bulkModulusPa, leak)).toBeCloseTo(ratePaPerS, 8);
    return valueIn(leak, 'flow', 'mL/min');
  };

  it('3.92699 L, 1.5 GPa, 5 bar in 5 min', () => toDigits(inMlPerMin(litres, 1.5e9, 5e5 / 300), '0.261799'));
  it('1.000 L, 1.4 GPa, 1 bar in 1 min', () => toDigits(inMlPerMin(1e-3, 1.4e9, 1e5 / 60), '0.0714286'));
  it('100 in3, 250 000 psi, 100 psi in 10 min', () =>
    toDigits(inMlPerMin(si('100 in3', 'volume'), psi(250_000), psi(100) / 600), '0.0655483'));
  it('0.2 mL/min is 0.764 bar/min', () => {
    const rate = decayForLeakPaPerS({ volumeM3: litres, bulkModulusPa: 1.5e9 }, si('0.2 mL/min', 'flow'));
    printedAs(rate, 'pressure-rate', 'bar/min', '0.764');
    // The drift of temperature that looks the same, at the 9.68 bar/K of oil behind a 100/120 mm barrel.
    const perK = thermalPressurePaPerK({ stiffnessPa: 1.383e9, expansionPerK: 7e-4 });
    printedAs(rate / perK, 'temperature-rate', 'K/min', '0.079');
  });
  it("0.02 mL/min of the bench's own: 2.0 bar/min on 0.15 L of plugged lines, 0.074 with the cylinder on", () => {
    const leak = si('0.02 mL/min', 'flow');
    const rate = (volumeM3: number) => decayForLeakPaPerS({ volumeM3, bulkModulusPa: 1.5e9 }, leak);
    printedAs(rate(0.15e-3), 'pressure-rate', 'bar/min', '2.0');
    printedAs(rate(0.15e-3 + litres), 'pressure-rate', 'bar/min', '0.074');
  });
});

describe('drops', () => {
  it('20 a millilitre (derived from MIL-DTL-5523E 3.12.1), 16 a millilitre (API 598)', () => {
    printedAs(dropsToM3(1), 'volume', 'mL', '0.05');
    printedAs(dropsToM3(1, 16), 'volume', 'mL', '0.0625');
  });

  it('6 drops/min are 0.3 mL/min: 0.37 mm in 10 min on 101.6 mm bore, 0.24 on 127 (computed from the definition)', () => {
    const inTenMinutes = dropsToM3(60);
    printedAs(inTenMinutes / 600, 'flow', 'mL/min', '0.3');
    printedAs(driftM(inTenMinutes, circleM2(mm(101.6))), 'length', 'mm', '0.37');
    printedAs(driftM(inTenMinutes, circleM2(mm(127))), 'length', 'mm', '0.24');
  });
});

describe('laminar clearance, Q = pi D c3 dp/(12 mu L) (fluid-power text, title not kept; eccentric x 2.5)', () => {
  const gap = { diameterM: 0.1, gapM: 25e-6, lengthM: 0.05 };
  it('D 100 mm, c 25 um, L 50 mm, 0.040 Pa s, 160 bar: 196.35 mL/min (computed from the definition)', () => {
    const difference = pressureDifferencePa(160e5);
    printedAs(clearanceFlowM3PerS(gap, difference, 0.04), 'flow', 'mL/min', '196.35');
    const eccentric = clearanceFlowM3PerS({ ...gap, eccentricity: 1 }, difference, 0.04);
    printedAs(eccentric, 'flow', 'mL/min', (2.5 * 196.35).toFixed(1));
  });
});

describe('a blocked opposite port hides a missing piston seal (computed from the definition)', () => {
  it.each([
    [20, '1.27'],
    [50, '3.14'],
    [200, '12.1'],
  ])('250 bar into %d mL of dead volume', (dead, fall) => {
    printedAs(fallIntoDeadVolumePa(bar(250), litres, dead * 1e-6), 'pressure', 'bar', fall);
  });
});

describe('oil for 250 bar in a 100/56 x 500 mm cylinder (computed from the definition)', () => {
  const oilMl = (hold: ShutIn): number => valueIn(expectedStiffness(hold, bar(0), bar(250)).oilM3, 'volume', 'mL');
  it('65.4 mL rigid', () => toDigits(oilMl(onA), '65.4'));
  it('71.0 mL with a 100/120 mm barrel', () => toDigits(oilMl(onAWithBarrel), '71.0'));
  it.each([
    [0.005, '19.6'],
    [0.01, '39.1'],
  ])('%d of free air adds', (airFraction, added) => toDigits(oilMl({ ...onA, airFraction }) - oilMl(onA), added));
});

describe('heat of compression: 7e-4 /K, 300 K, 870 kg/m3, 1900 J/(kg K), 250 bar (computed from the definition)', () => {
  const warm = temperatureK(300);
  it('quick pumping warms the oil by 3.18 K', () => {
    toDigits(heatOfCompressionK(onA.fluid, warm, pressureDifferencePa(250e5)), '3.18');
  });
  it('a fast modulus of 1.5 GPa is 1.133 times the slow one, and 29.4 bar go as the heat leaves', () => {
    // 1/Ks = 1/Kt - gamma2 T/(rho cp).
    const slowPa = 1 / (1 / 1.5e9 + (7e-4 ** 2 * 300) / (870 * 1900));
    toDigits(1.5e9 / slowPa, '1.133');
    const slow = { ...onA.fluid, bulkModulusPa: slowPa };
    printedAs(fallAsHeatLeavesPa(slow, warm, bar(250), slowPa), 'pressure', 'bar', '29.4');
  });
});

describe('waiting for a settle, tau ln(dP/(tau r)) (computed from the definition)', () => {
  it('20 bar, 5 min, 0.1 bar/min: 18.4 min', () => {
    const wait = settleWaitS(pressureDifferencePa(20e5), 300, si('0.1 bar/min', 'pressure-rate'));
    printedAs(wait, 'time', 'min', '18.4');
  });
});
