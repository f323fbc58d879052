import { describe, expect, it } from 'vitest';
import { leakForDecayM3PerS, trappedOil } from '../../src/hydraulics/index.js';
import { DwellmarkError, spell, unitSystems } from '../../src/units/index.js';
import { bar, cylinder100, fluidNamed, heldOnA } from './sample-cylinder.js';

const at = { atPa: bar(250) } as const;
const withBarrel = { ...heldOnA, cylinder: { ...cylinder100, barrelOutsideM: 0.12 } };

describe('trapped oil', () => {
  it('is the chamber and the line', () => {
    const trapped = trappedOil({ ...heldOnA, lineVolumeM3: 0.4e-3, ...at });
    expect(trapped.volumeM3).toBeCloseTo(4326.99e-6, 8);
    expect(trapped.volumeUM3).toBeCloseTo(Math.hypot(0.01 * 3926.99e-6, 0.1 * 400e-6), 8);
  });

  it('softens by its barrel wall: 1.383 GPa and 9.2 bar/K instead of 1.5 GPa and 10.5 bar/K', () => {
    const [rigid, walled] = [trappedOil({ ...heldOnA, ...at }), trappedOil({ ...withBarrel, ...at })];
    expect(rigid.bulkModulusPa).toBeCloseTo(1.5e9, 0);
    expect(rigid.thermalPaPerK).toBeCloseTo(10.5e5, 0);
    expect(walled.bulkModulusPa / 1e9).toBeCloseTo(1.383, 3);
    expect(walled.thermalPaPerK / 1e5).toBeCloseTo(9.19, 2);
  });

  it('is less certain when the barrel is not known, and its range then holds the barrel of 120 mm', () => {
    const fluid = fluidNamed('ISO VG 46');
    const [rigid, walled] = [trappedOil({ ...heldOnA, fluid, ...at }), trappedOil({ ...withBarrel, fluid, ...at })];
    expect(rigid.bulkModulusUPa / rigid.bulkModulusPa).toBeGreaterThan(walled.bulkModulusUPa / walled.bulkModulusPa);
    expect(Math.abs(rigid.bulkModulusPa - walled.bulkModulusPa)).toBeLessThan(rigid.bulkModulusUPa);
    expect(Math.abs(rigid.thermalPaPerK - walled.thermalPaPerK)).toBeLessThan(rigid.thermalUPaPerK);
  });

  it('on B is softer than on A: the same barrel around less oil', () => {
    const onB = trappedOil({ ...withBarrel, port: 'B', position: 'retracted', ...at });
    expect(onB.bulkModulusPa / 1e9).toBeCloseTo(1 / (1 / 1.5 + 1.4569 / 17.706), 3);
  });

  it('takes what the job states exactly as given', () => {
    const stated = trappedOil({
      ...withBarrel,
      lineVolumeM3: 0.4e-3,
      hoseStiffnessPa: 1e9,
      airFraction: 0.01,
      override: { volumeM3: 4.3e-3, bulkModulusPa: 1.4e9, expansionPerK: 6.5e-4 },
      ...at,
    });
    expect(stated.volumeM3).toBe(4.3e-3);
    expect(stated.bulkModulusPa).toBe(1.4e9);
    expect(stated.thermalPaPerK).toBeCloseTo(1.4e9 * 6.5e-4, 3);
    expect(leakForDecayM3PerS(stated, 1000)).toBe((4.3e-3 / 1.4e9) * 1000);
    expect(stated.basis).toContain('as the job states');
  });

  it('with a stated volume only still counts the wall', () => {
    const stated = trappedOil({ ...withBarrel, override: { volumeM3: 4.3e-3 }, ...at });
    expect(stated.volumeM3).toBe(4.3e-3);
    expect(stated.bulkModulusPa).toBeGreaterThan(1.383e9);
    expect(stated.bulkModulusPa).toBeLessThan(1.5e9);
  });

  it('is soft at low pressure when it holds air, and softer still when air has time to take up heat', () => {
    const aerated = { ...heldOnA, airFraction: 0.01 };
    const stiffness = (pressureBar: number, airProcess: 'slow' | 'fast') =>
      trappedOil({ ...aerated, atPa: bar(pressureBar), airProcess }).bulkModulusPa / 1e9;
    // 1/K = 1/1.5 GPa + x p0/p2 with p absolute, computed from the definition.
    expect(stiffness(5, 'slow')).toBeCloseTo(1 / (1 / 1.5 + (1e9 * 0.01 * 101_325) / 601_325 ** 2), 4);
    expect(stiffness(5, 'slow')).toBeLessThan(stiffness(50, 'slow'));
    expect(stiffness(50, 'slow')).toBeLessThan(stiffness(250, 'slow'));
    expect(stiffness(250, 'slow')).toBeCloseTo(1.496, 3);
    expect(stiffness(5, 'fast')).toBeLessThan(0.5);
  });

  it('is dominated by a soft hose when the line is most of the volume', () => {
    const hose = trappedOil({ ...heldOnA, lineVolumeM3: 4e-3, hoseStiffnessPa: 1e9, ...at });
    expect(hose.bulkModulusPa).toBeLessThan(0.9e9);
    expect(hose.bulkModulusPa).toBeGreaterThan(0.6e9);
  });

  it('of a fluid of the table has its tangent modulus at the pressure, and says so', () => {
    const held = { ...heldOnA, fluid: fluidNamed('ISO VG 46') };
    const [low, high] = [trappedOil({ ...held, atPa: bar(5) }), trappedOil({ ...held, atPa: bar(1050) })];
    expect(low.bulkModulusPa / 1e9).toBeCloseTo(1.393, 3);
    expect(high.bulkModulusPa / 1e9).toBeCloseTo(2.664, 3);
    expect(spell(high.basis, unitSystems.bar).replaceAll('\u00a0', ' ')).toContain('ISO VG 46 2.66 GPa at 1050.0 bar');
    // Expansion falls as stiffness rises: the pressure for a kelvin stays.
    for (const trapped of [low, high]) expect(trapped.thermalPaPerK / 1e5).toBeCloseTo(10.5, 9);
  });

  it('is refused where there is none', () => {
    expect(() => trappedOil({ ...heldOnA, position: 'retracted', ...at })).toThrow(DwellmarkError);
    expect(trappedOil({ ...heldOnA, position: 'retracted', lineVolumeM3: 0.15e-3, ...at }).volumeM3).toBe(0.15e-3);
  });

  it('says how its figures came about, in the units of the reader', () => {
    const basis = trappedOil({ ...withBarrel, lineVolumeM3: 0.4e-3, airFraction: 0.005, ...at }).basis;
    expect(spell(basis, unitSystems.bar).replaceAll('\u00a0', ' ')).toBe(
      'Volume: chamber A, piston extended, 3927 mL, and lines 400 mL. Stiffness: stated oil 1.50 GPa, barrel wall 17.7 GPa (Lame), lines taken as rigid, 0.5 % free air. Expansion: stated oil 0.000700 /K, less that of the steel barrel.',
    );
  });

  it('of water is stiffer and far less sensitive to temperature', () => {
    const water = trappedOil({ ...heldOnA, fluid: fluidNamed('water'), ...at });
    expect(water.bulkModulusPa / 1e9).toBeCloseTo(2.321, 2);
    expect(water.thermalPaPerK / 1e5).toBeCloseTo(4.65, 2);
  });
});
