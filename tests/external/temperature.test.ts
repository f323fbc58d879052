import { describe, expect, it } from 'vitest';
import { startDwell } from '../../src/evaluation/dwell.js';
import { holdContext } from '../evaluation/holds.js';

/** A dwell of 300 s at 240 bar, 2 readings a second, that falls with its oil: 10.5 bar/K (computed from the definition). */
function judged(coolingK: number, leakBar: number) {
  const dwell = startDwell(holdContext({ resolutionPa: 1, unmeasuredTemperatureK: 0, thermalUPaPerK: 1e4 }));
  for (let i = 0; i <= 600; i++) {
    const share = i / 600;
    const ripple = 50 * Math.sin(2.4 * i * i);
    const oilK = 300 - coolingK * share;
    dwell.add(i * 5e5, 240e5 - 10.5e5 * coolingK * share - leakBar * 1e5 * share + ripple, oilK, 0);
  }
  return dwell.finish({ endUs: 300e6, cutShort: false, voided: null });
}

describe('a logged oil temperature (computed from the definitions, 10.5 bar/K)', () => {
  it('takes the fall of 1 K of cooling out of the drop, and leaves a leak of 2 bar in it', () => {
    const result = judged(1, 2);
    expect(result.temperatureCorrected).toBe(true);
    expect((result.dropPa ?? 0) / 1e5).toBeCloseTo(2, 0);
    expect((result.thermalDropPa ?? 0) / 1e5).toBeCloseTo(10.5, 0);
  });

  it('is uncertain by what a probe drifts: at least 0.01 K, U at most 0.4 bar when it stands still', () => {
    const { dropUncertaintyPa } = judged(0, 0);
    // 95 % of a rectangle of ±0.01 K x 10.5 bar/K is 0.95 x 0.105 = 0.0998 bar; 0.01 K is common practice, no source.
    expect((dropUncertaintyPa ?? 0) / 1e5).toBeGreaterThan(0.0997);
    expect((dropUncertaintyPa ?? 0) / 1e5).toBeLessThan(0.4);
  });
});
