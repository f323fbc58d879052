import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  decayForLeakPaPerS,
  driftM,
  dropsToM3,
  leakForDecayM3PerS,
  m3ToDrops,
  pistonAreaM2,
} from '../../src/hydraulics/index.js';
import { usualDropsPerMl } from '../../src/hydraulics/leak.js';
import { cylinder100 } from './sample-cylinder.js';

const held = { volumeM3: 3.92699e-3, bulkModulusPa: 1.5e9 };

describe('leak and decay', () => {
  it('are one figure seen from two sides', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e-6, max: 1e-6, noNaN: true }), (leak) => {
        expect(leakForDecayM3PerS(held, decayForLeakPaPerS(held, leak))).toBeCloseTo(leak, 18);
      }),
    );
  });
});

describe('drops and drift', () => {
  it('six drops a minute are 0.3 mL at 20 to the millilitre, 0.375 mL at 16', () => {
    expect(usualDropsPerMl).toBe(20);
    expect(dropsToM3(6) * 1e6).toBeCloseTo(0.3, 12);
    expect(dropsToM3(6, 16) * 1e6).toBeCloseTo(0.375, 12);
    expect(m3ToDrops(dropsToM3(6, 16), 16)).toBeCloseTo(6, 12);
  });

  it('the rod creeps by oil over area, more on the ring than on the bore', () => {
    expect(driftM(3e-6, pistonAreaM2(cylinder100, 'A')) * 1e3).toBeCloseTo(0.382, 3);
    expect(driftM(3e-6, pistonAreaM2(cylinder100, 'B')) * 1e3).toBeCloseTo(0.556, 3);
  });
});
