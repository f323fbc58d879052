import { describe, expect, it } from 'vitest';
import { thermalPressurePaPerK } from '../../src/hydraulics/heat.js';
import { fallAsHeatLeavesPa, heatOfCompressionK, userFluid } from '../../src/hydraulics/index.js';
import { pressureDifferencePa, temperatureK } from '../../src/units/index.js';
import { bar, fluidNamed } from './sample-cylinder.js';

const oil = fluidNamed('ISO VG 32');
const stated = userFluid({ bulkModulusPa: 1.5e9 });
const warm = temperatureK(300);

describe('heat of compression', () => {
  it('of a fast rise and of a fast fall are opposite', () => {
    const rise = heatOfCompressionK(oil, warm, pressureDifferencePa(250e5));
    expect(rise).toBeCloseTo(3.18, 2);
    expect(heatOfCompressionK(oil, warm, pressureDifferencePa(-250e5))).toBe(-rise);
  });

  it('lost again is the thermal pressure of the warming, of oil and walls together', () => {
    const warming = heatOfCompressionK(stated, warm, pressureDifferencePa(250e5));
    for (const stiffnessPa of [1.5e9, 1.383e9]) {
      const perK = thermalPressurePaPerK({ stiffnessPa, expansionPerK: stated.expansionPerK });
      expect(fallAsHeatLeavesPa(stated, warm, bar(250), stiffnessPa)).toBeCloseTo(warming * perK, 3);
    }
  });

  it('hardly matters in water', () => {
    const water = fluidNamed('water');
    expect(fallAsHeatLeavesPa(water, warm, bar(250), water.bulkModulusPa) / 1e5).toBeLessThan(2);
  });
});

describe('thermal pressure of trapped oil', () => {
  it('falls when the barrel warms along', () => {
    const hold = { stiffnessPa: 1.383e9, expansionPerK: 7e-4 };
    expect(thermalPressurePaPerK(hold) / 1e5).toBeCloseTo(9.68, 2);
    expect(thermalPressurePaPerK({ ...hold, barrel: 'warms along' }) / 1e5).toBeCloseTo(9.2, 2);
  });

  it('of mineral oil is near the 11 bar a kelvin of the trade, of every grade', () => {
    for (const grade of [22, 32, 46, 68]) {
      const { bulkModulusPa, expansionPerK } = fluidNamed(`ISO VG ${grade}`);
      const perK = thermalPressurePaPerK({ stiffnessPa: bulkModulusPa, expansionPerK }) / 1e5;
      expect(perK).toBeGreaterThanOrEqual(10.5);
      expect(perK).toBeLessThanOrEqual(11.1);
    }
  });
});
