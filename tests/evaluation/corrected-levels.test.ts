import { describe, expect, it } from 'vitest';
import { startDwell } from '../../src/evaluation/dwell.js';
import { judge } from '../../src/evaluation/index.js';
import type { HoldInput } from '../../src/holdtest/index.js';
import type { Correction, TestPlan } from '../../src/procedure/index.js';
import { pressureDifferencePa, pressurePa } from '../../src/units/index.js';
import { samplePlan } from '../holdtest/sample-plan.js';
import { asInputs, drawTrace, plainHold } from '../holdtest/sample-trace.js';
import { holdContext } from './holds.js';

const bar = 1e5;
const inputs: readonly HoldInput[] = [...asInputs(drawTrace(plainHold(0.1)))];
const plain = samplePlan();

/** The same plan with a gauge that shows 0.1 bar too little at zero and a stated part too much at 400 bar. */
const corrected = (atFullBar: number): TestPlan => ({
  ...plain,
  corrections: 'applied',
  gauge: {
    ...plain.gauge,
    calibration: {
      certificate: 'CAL-0311',
      laboratory: 'Brackwater Metrology',
      date: '2026-03-14',
      due: '2027-03-14',
      corrections: [
        { atPa: pressurePa(0), addPa: pressureDifferencePa(0.1 * bar) },
        { atPa: pressurePa(400 * bar), addPa: pressureDifferencePa(atFullBar * bar) },
      ],
    },
  },
});

const stageOf = (plan: TestPlan) => {
  const result = judge(plan, inputs);
  const port = result.ports[0];
  const stage = port?.stages.at(-1);
  if (!port || !stage || stage.startPa === null || stage.endPa === null) throw new Error('no dwell');
  return { result, port, stage, startPa: stage.startPa, endPa: stage.endPa };
};

describe('levels corrected as the calibration states', () => {
  const before = stageOf(plain);
  const after = stageOf(corrected(-0.7));
  const addPa = (pa: number): number => 0.1 * bar - (0.8 * bar * pa) / (400 * bar);

  it('start and end of a dwell move by the table; its drop and uncertainty stay to the last bit', () => {
    const dwelt = (corrections: readonly Correction[]) => {
      const dwell = startDwell({ ...holdContext({ targetPa: 250 * bar }), corrections });
      for (let at = 0; at <= 300; at += 1)
        dwell.add(at * 1e6, Math.round(251 * bar - at * 700 + ((at * 7919) % 11) * 100), null, 0);
      return dwell.finish({ endUs: 300e6, cutShort: false, voided: null });
    };
    const [shown, level] = [dwelt([]), dwelt(corrected(-0.7).gauge.calibration?.corrections ?? [])];
    for (const key of ['startPa', 'endPa'] as const) {
      const pa = shown[key] ?? Number.NaN;
      expect((level[key] ?? Number.NaN) - pa).toBeCloseTo(addPa(pa), 6);
      expect(Math.abs((level[key] ?? 0) - pa)).toBeGreaterThan(0.3 * bar);
    }
    for (const key of ['dropPa', 'dropUncertaintyPa', 'leakM3PerS', 'smallestResolvableDropPa'] as const)
      expect(level[key]).toBe(shown[key]);
  });

  it('the peak of a test moves by the table', () => {
    const shownPa = before.port.peakPa ?? Number.NaN;
    expect((after.port.peakPa ?? 0) - shownPa).toBeCloseTo(addPa(shownPa), -1);
  });

  it('the zero of the vented gauge is corrected too', () => {
    expect((after.port.zeroBeforePa ?? 0) - (before.port.zeroBeforePa ?? 0)).toBeCloseTo(0.1 * bar, -1);
  });

  it('a target that is reached by the gauge and not in truth is not reached', () => {
    const short = judge(corrected(-60), inputs);
    expect(short.ports[0]?.stages.at(-1)?.dropPa).toBeNull();
    expect(short.verdict).not.toBe('pass');
  });

  it('a plan of the time before keeps its figures, table or not', () => {
    const { corrections: _, ...listed } = corrected(-0.7);
    const old = stageOf(listed);
    expect(old.startPa).toBe(before.startPa);
    expect(old.port.peakPa).toBe(before.port.peakPa);
    expect(old.stage.dropPa).toBe(before.stage.dropPa);
  });
});
