import { describe, expect, it } from 'vitest';
import { stepsOf, strokeChains } from '../../src/evaluation/stiffness/booster-steps.js';
import { boosterCheck, exactShare, findings } from './booster-check.js';
import { boosterTrace } from './booster-traces.js';

const base = Date.now() % 1_000_000;
const bar = 1e5;

/** Ten strokes of 6 bar: half a second up, half a second still, five readings a second. */
function staircase(strokes = 10, heightBar = 6): { s: Float64Array; pa: Float64Array } {
  const s = Float64Array.from({ length: 5 * (strokes + 4) }, (_, i) => i / 5);
  const pa = s.map((at) => {
    const began = Math.min(strokes, Math.max(0, at - 2));
    const whole = Math.floor(began);
    return Math.round((heightBar * (whole + Math.min(1, 2 * (began - whole)))) / 0.5) * 0.5 * bar;
  });
  return { s, pa };
}

describe('strokes counted off a trace', () => {
  it('ten steps of 6 bar are ten strokes, each between its levels', () => {
    const [chain, ...others] = strokeChains(staircase(), 0.15 * bar);
    expect(others).toEqual([]);
    expect(chain?.strokes).toBe(10);
    for (const { fromPa, toPa } of chain?.steps ?? []) expect((toPa - fromPa) / bar).toBeCloseTo(6, -0.3);
  });

  it('an even rise is one step and no stroke', () => {
    const s = Float64Array.from({ length: 200 }, (_, i) => i / 5);
    const pa = s.map((at) => Math.round((7 * Math.min(30, Math.max(0, at - 2))) / 0.5) * 0.5 * bar);
    expect(stepsOf({ s, pa }, 0.15 * bar)).toHaveLength(1);
    expect(strokeChains({ s, pa }, 0.15 * bar)).toEqual([]);
  });

  it('three strokes show no pace', () => expect(strokeChains(staircase(3), 0.15 * bar)).toEqual([]));

  it(`seeds from ${base}: the strokes of a booster are counted exactly at 5 readings/s and digits of 0.5 bar`, () => {
    // About 95 of 100 are; the slow suite asks more of them. Of 100 chance alone may leave 87.
    expect(exactShare(base, 50, 'booster') + exactShare(base, 50, 'pump then booster')).toBeGreaterThanOrEqual(1.74);
  });

  it(`seeds from ${base}: a booster alone tells a shut valve, at the cylinder or at the bench, each time`, () => {
    for (const pressed of ['line', 'stub of the line'] as const)
      for (const supply of ['booster', 'pump then booster', 'hand pump'] as const)
        for (const outcome of findings(base, 20, pressed, supply).keys())
          expect(outcome, `${pressed}, ${supply}`).toContain('too-stiff');
  });

  it('says how many strokes of which height, and that the rise shows them', () => {
    const trace = boosterTrace(7, 'cylinder', 'booster');
    const { strokesSeen, oilKnownBy, text, verdict } = boosterCheck(trace);
    expect(verdict).toBe('agrees');
    expect(oilKnownBy).toBe('steps');
    expect(strokesSeen?.count).toBe(trace.strokes);
    expect((strokesSeen?.heightPa ?? 0) / (trace.strokeM3 / trace.cylinderM3PerPa)).toBeCloseTo(1, 0);
    expect(text).toContain('by the strokes that the rise shows');
  });

  it('a rise by a pump that the job does not state proves nothing, and alarms nobody', () =>
    expect([...findings(base, 30, 'cylinder', 'pump').keys()]).toEqual(['not-checked not known']));
});
