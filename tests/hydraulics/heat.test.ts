import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bulkModulusAtPa,
  columnGrowthM,
  fallAsHeatLeavesPa,
  fastModulusPa,
  heatOfCompressionK,
  settleWaitS,
  slowModulusPa,
  thermalPressurePaPerK,
} from '../../src/hydraulics/index.js';
import { pressureDifferencePa, temperatureDifferenceK, temperatureK } from '../../src/units/index.js';
import { bar, fluidNamed } from './sample-cylinder.js';

const oil = fluidNamed('ISO VG 32');
const warm = temperatureK(300);

describe('heat of compression', () => {
  it('of a fast rise and of a fast fall are opposite', () => {
    const rise = heatOfCompressionK(oil, warm, pressureDifferencePa(250e5));
    expect(rise).toBeCloseTo(3.18, 2);
    expect(heatOfCompressionK(oil, warm, pressureDifferencePa(-250e5))).toBe(-rise);
  });

  it('makes oil stiffer in a fast rise than in a slow one, and the two laws undo each other', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e9, max: 3e9, noNaN: true }),
        fc.double({ min: 260, max: 350, noNaN: true }),
        (slow, temperature) => {
          const fast = fastModulusPa(slow, oil, temperatureK(temperature));
          expect(fast).toBeGreaterThan(slow);
          expect(slowModulusPa(fast, oil, temperatureK(temperature)) / slow).toBeCloseTo(1, 12);
        },
      ),
    );
  });

  it('lost again is the thermal pressure of the warming', () => {
    const warming = heatOfCompressionK(oil, warm, pressureDifferencePa(250e5));
    const perK = thermalPressurePaPerK({ stiffnessPa: oil.bulkModulusPa, expansionPerK: oil.expansionPerK });
    expect(fallAsHeatLeavesPa(oil, warm, bar(250))).toBeCloseTo(warming * perK, 3);
  });

  it('hardly matters in water', () => {
    const water = fluidNamed('water');
    expect(fallAsHeatLeavesPa(water, warm, bar(250)) / 1e5).toBeLessThan(2);
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

  it('becomes length where the piston may move', () => {
    expect(columnGrowthM(0.5, 7e-4, temperatureDifferenceK(10))).toBeCloseTo(3.5e-3, 9);
  });
});

describe('waiting for a settle', () => {
  it('is over at once when it is slow already', () => {
    expect(settleWaitS(pressureDifferencePa(1e5), 300, 1e5)).toBe(0);
  });

  it('takes as long upwards as downwards', () => {
    const down = settleWaitS(pressureDifferencePa(20e5), 300, 1e4 / 60);
    expect(settleWaitS(pressureDifferencePa(-20e5), 300, 1e4 / 60)).toBe(down);
  });

  it('leaves exactly the rate that was asked for', () => {
    const waited = settleWaitS(pressureDifferencePa(20e5), 300, 200);
    expect((20e5 / 300) * Math.exp(-waited / 300)).toBeCloseTo(200, 6);
  });

  it('of no time constant is a bug', () => {
    expect(() => settleWaitS(pressureDifferencePa(20e5), 0, 200)).toThrow('more than zero');
  });
});

describe('bulk modulus away from the conditions of the table', () => {
  it('is that of the table at 20 °C up to 200 bar', () => {
    expect(bulkModulusAtPa(oil, bar(200), temperatureK(293.15))).toBe(oil.bulkModulusPa);
  });

  it('falls when warm and rises with pressure', () => {
    expect(bulkModulusAtPa(oil, bar(200), temperatureK(313.15)) / 1e9).toBeCloseTo(1.343, 3);
    expect(bulkModulusAtPa(oil, bar(400), temperatureK(293.15)) / 1e9).toBeCloseTo(1.612, 3);
  });
});
