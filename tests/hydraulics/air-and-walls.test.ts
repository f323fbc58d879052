import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { airGivePerPa, atmospherePa } from '../../src/hydraulics/index.js';
import { airShareLeft, gasStiffnessPa, oilForAirM3 } from '../../src/hydraulics/stiffness.js';
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
});
