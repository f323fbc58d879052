import { describe, expect, it } from 'vitest';
import { chamberVolumeM3, telescopicStages } from '../../src/hydraulics/geometry.js';
import { type Cylinder, intensifiedPressure, pistonForceN } from '../../src/hydraulics/index.js';
import { bar, cylinder100 } from './sample-cylinder.js';

/** Three stages of 120, 100 and 80 mm, 3 m in all, moved back by its load. */
const tipper: Cylinder = {
  ...cylinder100,
  kind: 'telescopic',
  boreM: 0.12,
  rodM: 0,
  strokeM: 3,
  stageBoresM: [0.12, 0.1, 0.08],
};
/** The same with a 65 mm rod and retract chambers. */
const doubleActing: Cylinder = { ...tipper, rodM: 0.065 };

describe('a three-stage telescopic cylinder', () => {
  it('pushes hardest with its first stage and weakest with its last', () => {
    expect(telescopicStages(tipper).map((stage) => (stage.pushM2 * 1e4).toFixed(2))).toEqual([
      '113.10',
      '78.54',
      '50.27',
    ]);
    expect(pistonForceN(tipper, 'A', bar(160))).toBeCloseTo(180_956, 0);
  });

  it('takes its oil stage by stage: each its area times a metre', () => {
    expect(chamberVolumeM3(tipper, 'A', 'extended')).toBeCloseTo((113.097 + 78.54 + 50.265) * 1e-4, 6);
    expect(chamberVolumeM3(tipper, 'A', 'retracted')).toBe(0);
  });

  it('has nothing at B unless it is double-acting', () => {
    expect(pistonForceN(tipper, 'B', bar(160))).toBe(0);
    expect(intensifiedPressure(tipper, 'A', bar(160))).toBeUndefined();
    expect(chamberVolumeM3(tipper, 'B', 'retracted')).toBe(0);
  });

  it('intensifies inside when it is double-acting: the worst stage counts', () => {
    // 120 over 100: 1/(1 - (100/120)^2) = 3.27; 100 over 80: 2.78; 80 over 65: 2.94.
    expect((intensifiedPressure(doubleActing, 'A', bar(160)) ?? 0) / 1e5).toBeCloseTo(523.6, 1);
    expect((intensifiedPressure(doubleActing, 'B', bar(160)) ?? 0) / 1e5).toBeCloseTo(57.6, 1);
  });

  it('pulls with the ring of its first stage, and holds the rings when retracted', () => {
    expect(pistonForceN(doubleActing, 'B', bar(160))).toBeCloseTo((Math.PI / 4) * (0.12 ** 2 - 0.1 ** 2) * 160e5, 3);
    expect(chamberVolumeM3(doubleActing, 'B', 'retracted')).toBeCloseTo((Math.PI / 4) * (0.12 ** 2 - 0.065 ** 2), 9);
  });

  it('without stage bores is one stage of its bore', () => {
    const { stageBoresM: _none, ...plain } = tipper;
    expect(telescopicStages(plain)).toHaveLength(1);
    expect(chamberVolumeM3(plain, 'A', 'extended')).toBeCloseTo((Math.PI / 4) * 0.12 ** 2 * 3, 9);
  });
});
