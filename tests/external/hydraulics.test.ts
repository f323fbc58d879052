import { describe, expect, it } from 'vitest';
import { chamberVolumeM3, circleM2 } from '../../src/hydraulics/geometry.js';
import { thermalPressurePaPerK } from '../../src/hydraulics/heat.js';
import {
  type Cylinder,
  decayForLeakPaPerS,
  driftM,
  dropsToM3,
  intensifiedPressure,
  leakForDecayM3PerS,
  pistonAreaM2,
  pistonForceN,
} from '../../src/hydraulics/index.js';
import { valueIn } from '../../src/units/index.js';
import { computed } from './computed-figures.js';
import { bar, mm, printedAs, psi, si, toDigits } from './printed.js';

// Every figure stands beside its source. "Computed": it follows from the definition and the inputs shown.

function cylinder(boreM: number, rodM: number, strokeM = 0.5): Cylinder {
  return { kind: 'double-acting', boreM, rodM, strokeM, ratedPressurePa: bar(160) };
}

const c100 = cylinder(0.1, 0.056);
const inches = cylinder(si('4 in', 'length'), si('2.5 in', 'length'), si('20 in', 'length'));

const litres = 3.92699e-3;

describe('cylinder arithmetic', () => {
  const ratio = (bore: number, rod: number): number => {
    const tried = cylinder(mm(bore), mm(rod));
    return pistonAreaM2(tried, 'A') / pistonAreaM2(tried, 'B');
  };

  // Computed: phi = D2/(D2 - d2).
  it.each([
    [50, 36, '2.0764'],
    [63, 45, '2.0417'],
    [80, 56, '1.9608'],
    [100, 56, '1.4569'],
    [100, 70, '1.9608'],
    [125, 90, '2.0764'],
    [160, 110, '1.8963'],
  ])('area ratio %d/%d', (bore, rod, phi) => {
    toDigits(ratio(bore, rod), phi);
  });

  /**
   * ISO 3320 and ISO 7181 (from memory): bores of the metric series, the rods of the ratios named 1.25, 1.6 and 2, the
   * ratio as the table prints it. Bores and rods of 1.25 and 2 are those of ISO 6020-2 from 25 to 200 mm, as catalogues
   * quote it.
   */
  it.each([
    [25, 12, 18, '1.30', '2.08'],
    [32, 14, 22, '1.24', '1.90'],
    [40, 18, 28, '1.25', '1.96'],
    [50, 22, 36, '1.24', '2.08'],
    [63, 28, 45, '1.25', '2.04'],
    [80, 36, 56, '1.25', '1.96'],
    [100, 45, 70, '1.25', '1.96'],
    [125, 56, 90, '1.25', '2.08'],
    [160, 70, 110, '1.24', '1.90'],
    [200, 90, 140, '1.25', '1.96'],
  ])('bore %d, rods %d and %d: area ratios %s and %s', (bore, thin, thick, low, high) => {
    toDigits(ratio(bore, thin), low);
    toDigits(ratio(bore, thick), high);
    // The names of the ratios: what a table rounds, never off by more than 6 %.
    expect(Math.abs(ratio(bore, thin) / 1.25 - 1)).toBeLessThan(0.06);
    expect(Math.abs(ratio(bore, thick) / 2 - 1)).toBeLessThan(0.06);
  });

  // Areas as actuatec prints them, "Calculation of cylinder diameter"; the last digit of some is rounded up there.
  it.each([
    [40, 1257],
    [50, 1964],
    [63, 3118],
    [80, 5027],
    [100, 7855],
    [125, 12272],
    [160, 20106],
    [200, 31426],
    [250, 49087],
    [320, 80425],
  ])('area of a %d mm bore: %d mm2', (bore, printed) => {
    expect(Math.abs(circleM2(mm(bore)) * 1e6 - printed)).toBeLessThan(Math.max(1.1, 4e-4 * printed));
  });

  it('areas of 100/56 (computed)', () => {
    printedAs(pistonAreaM2(c100, 'A'), 'area', 'cm2', '78.540');
    printedAs(pistonAreaM2(c100, 'B'), 'area', 'cm2', '53.910');
  });

  // As actuatec prints it, "Calculation of cylinder diameter", push force in kN.
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
    printedAs(pistonForceN(cylinder(mm(bore), mm(bore / 2)), 'A', bar(160)), 'force', 'kN', kN);
  });

  it('push and pull of 100/56 at 160 bar (computed)', () => {
    printedAs(pistonForceN(c100, 'A', bar(160)), 'force', 'kN', computed.pushKN);
    printedAs(pistonForceN(c100, 'B', bar(160)), 'force', 'kN', computed.pullKN);
  });

  it('4 in bore, 2.5 in rod, 3000 psi (computed; common practice, no source, 37 698 and 22 974 lbf)', () => {
    printedAs(pistonForceN(inches, 'A', psi(3000)), 'force', 'lbf', '37699.1');
    printedAs(pistonForceN(inches, 'B', psi(3000)), 'force', 'lbf', '22972.9');
    expect(Math.abs(valueIn(pistonForceN(inches, 'A', psi(3000)), 'force', 'lbf') - 37_698)).toBeLessThan(1.5);
    expect(Math.abs(valueIn(pistonForceN(inches, 'B', psi(3000)), 'force', 'lbf') - 22_974)).toBeLessThan(1.5);
  });

  it('intensification behind a blocked rod-end port (computed)', () => {
    const three = cylinder(si('3 in', 'length'), si('2 in', 'length'));
    printedAs(intensifiedPressure(three, 'A', psi(2000)) ?? 0, 'pressure', 'psi', computed.blocked3And2InPsi);
    printedAs(
      intensifiedPressure(cylinder(0.1, 0.07), 'A', bar(160)) ?? 0,
      'pressure',
      'bar',
      computed.blocked10070Bar,
    );
    printedAs(intensifiedPressure(c100, 'A', bar(160)) ?? 0, 'pressure', 'bar', computed.blocked10056Bar);
  });

  it('cqh.com.au, "Hydraulic Cylinder Dangers", rounds the areas to 7 and 4 in2 and prints 3500 psi: within 3 % of 3600', () => {
    const three = cylinder(si('3 in', 'length'), si('2 in', 'length'));
    expect(Math.abs((intensifiedPressure(three, 'A', psi(2000)) ?? 0) / psi(3500) - 1)).toBeLessThan(0.03);
  });

  it('volumes (computed)', () => {
    printedAs(chamberVolumeM3(c100, 'A', 'extended'), 'volume', 'mL', '3926.99');
    printedAs(chamberVolumeM3(c100, 'B', 'retracted'), 'volume', 'mL', '2695.49');
    printedAs(chamberVolumeM3(inches, 'A', 'extended'), 'volume', 'mL', '4118.52');
  });
});

describe('thermal pressure', () => {
  it('rigid 100 in3 of MIL-H-83282 from 70 to 120 degF rise by 6900 psi (Lee IMH, "Bulk Modulus", worked)', () => {
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
});

describe('leak rate, Q = (V/K) |dp/dt| (computed)', () => {
  const inMlPerMin = (volumeM3: number, bulkModulusPa: number, ratePaPerS: number): number => {
    const leak = leakForDecayM3PerS({ volumeM3, bulkModulusPa }, ratePaPerS);
    expect(decayForLeakPaPerS({ volumeM3, bulkModulusPa }, leak)).toBeCloseTo(ratePaPerS, 8);
    return valueIn(leak, 'flow', 'mL/min');
  };

  it('3.92699 L, 1.5 GPa, 5 bar in 5 min', () =>
    toDigits(inMlPerMin(litres, 1.5e9, 5e5 / 300), computed.leakOf5BarIn5Min));
  it('1.000 L, 1.4 GPa, 1 bar in 1 min', () => toDigits(inMlPerMin(1e-3, 1.4e9, 1e5 / 60), '0.0714286'));
  it('100 in3, 250 000 psi, 100 psi in 10 min', () =>
    toDigits(inMlPerMin(si('100 in3', 'volume'), psi(250_000), psi(100) / 600), computed.leakOf100PsiIn10Min));
  it('0.2 mL/min is 0.764 bar/min', () => {
    const rate = decayForLeakPaPerS({ volumeM3: litres, bulkModulusPa: 1.5e9 }, si('0.2 mL/min', 'flow'));
    printedAs(rate, 'pressure-rate', 'bar/min', computed.barPerMinOf200UL);
    // The drift of temperature that looks the same, at the 9.68 bar/K of oil behind a 100/120 mm barrel.
    const perK = thermalPressurePaPerK({ stiffnessPa: 1.383e9, expansionPerK: 7e-4 });
    printedAs(rate / perK, 'temperature-rate', 'K/min', '0.079');
  });
  it("0.02 mL/min of the bench's own: 2.0 bar/min on 0.15 L of plugged lines, 0.074 with the cylinder on", () => {
    const leak = si('0.02 mL/min', 'flow');
    const rate = (volumeM3: number) => decayForLeakPaPerS({ volumeM3, bulkModulusPa: 1.5e9 }, leak);
    printedAs(rate(0.15e-3), 'pressure-rate', 'bar/min', computed.benchLeakOnLines);
    printedAs(rate(0.15e-3 + litres), 'pressure-rate', 'bar/min', computed.benchLeakOnCylinder);
  });
});

describe('drops', () => {
  it('20 a millilitre (derived from MIL-DTL-5523E 3.12.1), 16 a millilitre (API 598)', () => {
    printedAs(dropsToM3(1), 'volume', 'mL', '0.05');
    printedAs(dropsToM3(1, 16), 'volume', 'mL', '0.0625');
  });

  it('6 drops/min are 0.3 mL/min: 0.37 mm in 10 min on 101.6 mm bore, 0.24 on 127 (computed)', () => {
    const inTenMinutes = dropsToM3(60);
    printedAs(inTenMinutes / 600, 'flow', 'mL/min', '0.3');
    printedAs(driftM(inTenMinutes, circleM2(mm(101.6))), 'length', 'mm', '0.37');
    printedAs(driftM(inTenMinutes, circleM2(mm(127))), 'length', 'mm', '0.24');
  });
});
