import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chamberVolumeM3, intensificationRatio } from '../../src/hydraulics/geometry.js';
import {
  type Cylinder,
  cylinderFaults,
  intensifiedPressure,
  pistonAreaM2,
  pistonForceN,
} from '../../src/hydraulics/index.js';
import { bar, cylinder100 } from './sample-cylinder.js';

const cylinders = fc
  .record({
    boreM: fc.double({ min: 0.02, max: 0.6, noNaN: true }),
    share: fc.double({ min: 0.1, max: 0.95, noNaN: true }),
    strokeM: fc.double({ min: 0.01, max: 5, noNaN: true }),
  })
  .map(({ boreM, share, strokeM }): Cylinder => ({ ...cylinder100, boreM, rodM: boreM * share, strokeM }));

describe('a 100/56 x 500 mm cylinder', () => {
  it('with a blocked rod end at 160 bar sees 233 bar there', () => {
    expect((intensifiedPressure(cylinder100, 'A', bar(160)) ?? 0) / 1e5).toBeCloseTo(233.1, 1);
  });

  it('pressurised at B puts 110 bar on a blocked cap end', () => {
    expect((intensifiedPressure(cylinder100, 'B', bar(160)) ?? 0) / 1e5).toBeCloseTo(109.8, 1);
  });

  it('extended holds 3927 mL behind the piston and none before it', () => {
    expect(chamberVolumeM3(cylinder100, 'A', 'extended')).toBeCloseTo(3926.99e-6, 8);
    expect(chamberVolumeM3(cylinder100, 'B', 'extended')).toBe(0);
  });

  it('mid-stroke holds half of each', () => {
    expect(chamberVolumeM3(cylinder100, 'A', 'mid-stroke restrained')).toBeCloseTo(3926.99e-6 / 2, 8);
    expect(chamberVolumeM3(cylinder100, 'B', 'mid-stroke restrained')).toBeCloseTo(2695.49e-6 / 2, 8);
  });

  it('pushes harder than it pulls', () => {
    expect(pistonForceN(cylinder100, 'A', bar(160))).toBeCloseTo(125_664, 0);
    expect(pistonForceN(cylinder100, 'B', bar(160))).toBeCloseTo(86_256, 0);
  });
});

describe('any single-rod cylinder', () => {
  it('multiplies pressure from A to B by the area ratio, and divides it from B to A', () => {
    fc.assert(
      fc.property(cylinders, (cylinder) => {
        const phi = pistonAreaM2(cylinder, 'A') / pistonAreaM2(cylinder, 'B');
        expect(intensificationRatio(cylinder, 'A')).toBeCloseTo(phi, 9);
        expect((intensificationRatio(cylinder, 'B') ?? 0) * phi).toBeCloseTo(1, 9);
        expect(phi).toBeGreaterThan(1);
      }),
    );
  });

  it('holds rod and oil in the barrel: both chambers and the rod inside make the bore volume', () => {
    fc.assert(
      fc.property(cylinders, (cylinder) => {
        const rodM3 = (Math.PI / 4) * cylinder.rodM ** 2 * (cylinder.strokeM / 2);
        const sum =
          chamberVolumeM3(cylinder, 'A', 'mid-stroke restrained') +
          chamberVolumeM3(cylinder, 'B', 'mid-stroke restrained') +
          rodM3;
        expect(sum / ((Math.PI / 4) * cylinder.boreM ** 2 * cylinder.strokeM)).toBeCloseTo(1, 9);
      }),
    );
  });
});

describe('other kinds', () => {
  const doubleRod: Cylinder = { ...cylinder100, kind: 'double-rod' };
  const singleActing: Cylinder = { ...cylinder100, kind: 'single-acting' };
  const plunger: Cylinder = { ...cylinder100, kind: 'plunger', rodM: 0 };
  const slimPlunger: Cylinder = { ...cylinder100, kind: 'plunger' };

  it('a double rod has the ring area at both ports and does not intensify', () => {
    expect(pistonAreaM2(doubleRod, 'A')).toBe(pistonAreaM2(cylinder100, 'B'));
    expect(intensifiedPressure(doubleRod, 'A', bar(160))).toBe(bar(160));
  });

  it('a single-acting cylinder has no chamber to intensify into', () => {
    expect(intensifiedPressure(singleActing, 'A', bar(160))).toBeUndefined();
    expect(pistonForceN(singleActing, 'B', bar(160))).toBe(0);
  });

  it('a plunger pushes with the diameter it seals on', () => {
    expect(pistonForceN(plunger, 'A', bar(160))).toBeCloseTo(125_664, 0);
    expect(pistonForceN(slimPlunger, 'A', bar(160))).toBeCloseTo(39_408, 0);
    expect(intensifiedPressure(plunger, 'A', bar(160))).toBeUndefined();
  });

  it('oil stands around a plunger thinner than its barrel, also when it is in', () => {
    expect(chamberVolumeM3(slimPlunger, 'A', 'retracted')).toBeCloseTo(2695.49e-6, 8);
    expect(chamberVolumeM3(slimPlunger, 'A', 'extended')).toBeCloseTo(3926.99e-6, 8);
    expect(chamberVolumeM3(plunger, 'A', 'retracted')).toBe(0);
    expect(chamberVolumeM3(plunger, 'B', 'retracted')).toBe(0);
  });
});

describe('an impossible cylinder', () => {
  it.each([
    ['a rod as thick as the bore', { rodM: 0.1 }, 'rodM'],
    ['a rod thicker than the bore', { rodM: 0.11 }, 'rodM'],
    ['no rod on a double-acting cylinder', { rodM: 0 }, 'rodM'],
    ['a negative rod', { rodM: -0.01 }, 'rodM'],
    ['no bore', { boreM: 0 }, 'boreM'],
    ['no stroke', { strokeM: 0 }, 'strokeM'],
    ['an endless stroke', { strokeM: Number.POSITIVE_INFINITY }, 'strokeM'],
    ['no rated pressure', { ratedPressurePa: bar(0) }, 'ratedPressurePa'],
    ['a barrel thinner than its bore', { barrelOutsideM: 0.099 }, 'barrelOutsideM'],
    ['stages on a plain cylinder', { stageBoresM: [0.1, 0.08] }, 'stageBoresM'],
    ['stages smallest first', { kind: 'telescopic', stageBoresM: [0.08, 0.1] }, 'stageBoresM'],
    ['a rod as thick as the last stage', { kind: 'telescopic', stageBoresM: [0.1, 0.056] }, 'rodM'],
  ] as const)('%s', (_what, change, field) => {
    expect(cylinderFaults({ ...cylinder100, ...change }).map((fault) => fault.field)).toContain(field);
  });

  it('is not a plain 100/56, nor a plunger without a rod', () => {
    expect(cylinderFaults(cylinder100)).toEqual([]);
    expect(cylinderFaults({ ...cylinder100, kind: 'plunger', rodM: 0 })).toEqual([]);
  });
});
