import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  aeratedStiffnessPa,
  airGivePerPa,
  airShareLeft,
  atmospherePa,
  boreGrowthM,
  gasStiffnessPa,
  hoopStressPa,
  oilForAirM3,
  seriesStiffnessPa,
  thinPipeStiffnessPa,
  wallStiffnessPa,
} from '../../src/hydraulics/index.js';
import { pressurePa } from '../../src/units/index.js';
import { bar } from './sample-cylinder.js';

describe('free air', () => {
  it('is whole at the atmosphere, half at one more atmosphere, and 0.4 % at 250 bar', () => {
    expect(airShareLeft(bar(0))).toBe(1);
    expect(airShareLeft(pressurePa(atmospherePa))).toBe(0.5);
    expect(airShareLeft(bar(250))).toBeCloseTo(0.00404, 5);
  });

  it('keeps more of its volume in a fast rise, being hot', () => {
    expect(airShareLeft(bar(250), 'fast')).toBeGreaterThan(4 * airShareLeft(bar(250), 'slow'));
    expect(gasStiffnessPa(250e5, 'fast')).toBe(350e5);
  });

  it('swallows oil at the rate that its give says', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 400, noNaN: true }),
        fc.constantFrom('slow' as const, 'fast' as const),
        (at, process) => {
          const [below, above] = [bar(at * 0.9999), bar(at * 1.0001)];
          const slope = oilForAirM3(1, below, above, process) / (above - below);
          expect(slope / airGivePerPa(bar(at), process)).toBeCloseTo(1, 5);
        },
      ),
    );
  });

  it('makes any oil softer, and less so in a fast rise', () => {
    const mix = { liquidPa: 1.5e9, gasFractionAtPressure: 0.01, absolutePa: 35e5 };
    const [slow, fast] = [
      aeratedStiffnessPa({ ...mix, process: 'slow' }),
      aeratedStiffnessPa({ ...mix, process: 'fast' }),
    ];
    expect(slow).toBeLessThan(fast);
    expect(fast).toBeLessThan(1.5e9);
    expect(aeratedStiffnessPa({ ...mix, gasFractionAtPressure: 0, process: 'slow' })).toBeCloseTo(1.5e9, 0);
  });
});

describe('walls', () => {
  it('a 100/120 barrel grows by 0.07 mm in diameter at 250 bar', () => {
    expect(boreGrowthM({ insideM: 0.1, outsideM: 0.12 }, bar(250)) * 1e3).toBeCloseTo(0.0706, 4);
  });

  it('a thick formula meets the thin one for a thin wall', () => {
    const thick = wallStiffnessPa({ insideM: 0.1, outsideM: 0.1002, poisson: 0 });
    expect(thick / thinPipeStiffnessPa({ diameterM: 0.1001, wallM: 0.0001 })).toBeCloseTo(1, 4);
  });

  it('equal pressure inside and outside leaves only that pressure in the wall', () => {
    const wall = { insideM: 0.06, outsideM: 0.1 };
    expect(hoopStressPa(wall, pressurePa(5e6), { outside: pressurePa(5e6) })).toBeCloseTo(-5e6, 6);
  });

  it('carry the pressure as a whole: mean hoop stress times wall is pressure times bore', () => {
    const wall = { insideM: 0.1, outsideM: 0.12 };
    const steps = 2000;
    const stepM = 0.01 / steps;
    let sum = 0;
    for (let step = 0; step < steps; step += 1) {
      const radiusM = 0.05 + (step + 0.5) * stepM;
      // Between bore and outside the stress follows a + b/r2.
      const [bore, outside] = [hoopStressPa(wall, bar(250)), hoopStressPa(wall, bar(250), { at: 'outside' })];
      const b = (bore - outside) / (1 / 0.05 ** 2 - 1 / 0.06 ** 2);
      sum += (outside + b * (1 / radiusM ** 2 - 1 / 0.06 ** 2)) * stepM;
    }
    expect(sum / (250e5 * 0.05)).toBeCloseTo(1, 6);
  });

  it('in series the softest part rules', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e8, max: 1e11, noNaN: true }),
        fc.double({ min: 1e8, max: 1e11, noNaN: true }),
        (a, b) => {
          expect(seriesStiffnessPa([{ stiffnessPa: a }, { stiffnessPa: b }])).toBeLessThan(Math.min(a, b));
        },
      ),
    );
  });
});
