import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  boosterStrokes,
  expectedStiffness,
  type ShutIn,
  storedEnergy,
  trappedOil,
} from '../../src/hydraulics/index.js';
import { bar, cylinder100, heldOnA } from './sample-cylinder.js';

const withBarrel: ShutIn = { ...heldOnA, cylinder: { ...cylinder100, barrelOutsideM: 0.12 } };

describe('oil to reach a pressure', () => {
  it('tells what takes it up', () => {
    const { split, oilM3 } = expectedStiffness(
      { ...withBarrel, lineVolumeM3: 0.4e-3, hoseStiffnessPa: 1e9, airFraction: 0.01 },
      bar(0),
      bar(250),
    );
    expect(split.oilM3 * 1e6).toBeCloseTo(72.12, 2);
    expect(split.wallM3 * 1e6).toBeCloseTo(5.54, 2);
    expect(split.hoseM3 * 1e6).toBeCloseTo(10, 6);
    expect(split.airM3 * 1e6).toBeCloseTo(43.1, 1);
    expect(oilM3).toBeCloseTo(split.oilM3 + split.wallM3 + split.hoseM3 + split.airM3, 15);
  });

  it('is as much in two steps as in one', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 400, noNaN: true }),
        fc.double({ min: 0, max: 400, noNaN: true }),
        fc.double({ min: 0, max: 0.05, noNaN: true }),
        fc.constantFrom('slow' as const, 'fast' as const),
        (middle, top, airFraction, process) => {
          const hold = { ...withBarrel, airFraction };
          const oil = (from: number, to: number) => expectedStiffness(hold, bar(from), bar(to), process).oilM3;
          expect(oil(0, middle) + oil(middle, top)).toBeCloseTo(oil(0, top), 12);
        },
      ),
    );
  });

  it('agrees with the stiffness at that pressure: oil per pascal is V/K', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 400, noNaN: true }),
        fc.double({ min: 0, max: 0.05, noNaN: true }),
        fc.constantFrom('slow' as const, 'fast' as const),
        (at, airFraction, process) => {
          const hold = { ...withBarrel, airFraction };
          const trapped = trappedOil({ ...hold, atPa: bar(at), airProcess: process });
          const step = expectedStiffness(hold, bar(at - 0.005), bar(at + 0.005), process).oilM3 / 1000;
          expect((step * trapped.bulkModulusPa) / trapped.volumeM3).toBeCloseTo(1, 3);
        },
      ),
    );
  });

  it('falls short of a cylinder by far when only the line is there', () => {
    const shut = expectedStiffness(
      { ...heldOnA, lineVolumeM3: 0.4e-3, override: { volumeM3: 0.4e-3 } },
      bar(0),
      bar(250),
    );
    const whole = expectedStiffness({ ...heldOnA, lineVolumeM3: 0.4e-3 }, bar(0), bar(250));
    expect(whole.oilM3 - shut.oilM3).toBeGreaterThan(4 * Math.hypot(whole.oilUM3, shut.oilUM3));
  });

  it('with a stated stiffness is V dp / K', () => {
    const stated = { ...heldOnA, override: { volumeM3: 4.3e-3, bulkModulusPa: 1.4e9 } };
    expect(expectedStiffness(stated, bar(0), bar(250)).oilM3).toBeCloseTo((4.3e-3 * 250e5) / 1.4e9, 15);
  });
});

describe('booster strokes', () => {
  it.each([
    [65.4e-6, 2e-6, 1, 33],
    [65.4e-6, 2e-6, 0.8, 41],
    [64e-6, 2e-6, 1, 32],
    [0, 2e-6, 1, 0],
    [-1e-6, 2e-6, 1, 0],
  ])('%d m3 by %d m3, delivering %d: %d', (oil, stroke, delivers, strokes) => {
    expect(boosterStrokes(oil, stroke, delivers)).toBe(strokes);
  });

  it('of nothing are a bug', () => {
    expect(() => boosterStrokes(65e-6, 0)).toThrow('must deliver');
  });
});

describe('stored energy', () => {
  const held = { volumeM3: 3.92699e-3, bulkModulusPa: 1.5e9, at: bar(250) };

  it('of oil is that of a spring', () => {
    expect(storedEnergy(held)).toEqual({ oilJ: expect.closeTo(818.1, 1), airJ: 0 });
  });

  it('of trapped air is what it gives when it expands, computed by steps', () => {
    const { airJ } = storedEnergy({ ...held, freeAirM3: 39.27e-6 });
    const atmosphere = 101_325;
    const startPa = 250e5 + atmosphere;
    const startM3 = (39.27e-6 * atmosphere) / startPa;
    const endM3 = startM3 * (startPa / atmosphere) ** (1 / 1.4);
    const steps = 20_000;
    const width = Math.log(endM3 / startM3) / steps;
    let work = 0;
    for (let step = 0; step < steps; step += 1) {
      const volume = startM3 * Math.exp((step + 0.5) * width);
      work += startPa * (startM3 / volume) ** 1.4 * volume * width;
    }
    expect(airJ).toBeCloseTo(work, 3);
    expect(airJ).toBeCloseTo(7.9, 1);
  });

  it('grows with the square of the pressure in oil', () => {
    expect(storedEnergy({ ...held, at: bar(500) }).oilJ / storedEnergy(held).oilJ).toBeCloseTo(4, 12);
  });
});
