import { describe, expect, it } from 'vitest';
import type { DwellContext } from '../../src/evaluation/context.js';
import { startDwell } from '../../src/evaluation/dwell.js';
import type { StageResult } from '../../src/evaluation/index.js';
import { evaluate } from './ensembles.js';
import { dropLimit, type HoldChoices, holdContext } from './holds.js';
import { chance, correlatedNoiseSource, type DwellRecipe, simulatedDwell } from './trace-generator.js';

/** A 5 min dwell at 10 readings a second with 0.05 bar of white noise. */
function hold(choices: HoldChoices, recipe: Partial<DwellRecipe> = {}): StageResult {
  const source = chance(42);
  const dwell = simulatedDwell({
    source,
    durationS: choices.dwellS ?? 300,
    ratePerS: 10,
    startPa: choices.targetPa ?? 242e5,
    leakDropPa: 0,
    noise: correlatedNoiseSource(source, 0, 5e3),
    resolutionPa: 1e3,
    ...recipe,
  });
  return evaluate(holdContext(choices), dwell);
}

describe('the figures of a dwell', () => {
  const result = hold({ stabilityPa: 1e4 }, { leakDropPa: 2e5 });

  it('drop, rate and leak are one fall in three units', () => {
    expect(result.dropPa).toBeGreaterThan(1.97e5);
    expect(result.dropPa).toBeLessThan(2.03e5);
    expect(result.dwellS).toBe(300);
    expect((result.ratePaPerS ?? 0) * 300).toBeCloseTo(result.dropPa ?? 0, 6);
    expect(result.leakM3PerS).toBeCloseTo((3.92699e-3 / 1.5e9) * (result.ratePaPerS ?? 0), 16);
  });

  it('the leak is a drift of the rod in 10 min, leak over piston area (pi/4 0.1 2); none is told of a tight hold', () => {
    expect(result.rodDriftM).toBeCloseTo(((result.leakM3PerS ?? 0) * 600) / 7.85398e-3, 8);
    expect((result.rodDriftM ?? 0) * 1e3).toBeCloseTo(0.13, 1);
    expect(hold({}).rodDriftM).toBeUndefined();
  });

  it('start and end are as read, and differ from the loss by no more than their means are unsure', () => {
    expect((result.startPa ?? 0) - (result.endPa ?? 0)).toBeCloseTo(result.plainDropPa ?? 0, 6);
    expect(Math.abs((result.plainDropPa ?? 0) - (result.dropPa ?? 0))).toBeLessThan((2e5 * 3) / 300 + 2e3);
    // The mean of 3 s, 0.02 bar lower at its end than at its beginning, of 30 readings with 0.05 bar of noise.
    expect(Math.abs((result.startPa ?? 0) - (242e5 - 1000))).toBeLessThan(3e3);
  });

  it('the budget adds up to the stated uncertainty, and no gain or offset of the gauge is in the drop', () => {
    const drop = result.budget.filter((line) => line.of === 'drop');
    const u = Math.sqrt(drop.reduce((sum, line) => sum + line.u ** 2, 0));
    expect(u * (result.coverageFactor ?? 0)).toBeCloseTo(result.dropUncertaintyPa ?? 0, 6);
    expect(drop.map((line) => line.name)).not.toContain('accuracy class');
    expect(drop.find((line) => line.name === 'gauge stability')?.u).toBeCloseTo(1e4 / Math.sqrt(3), 6);
    const leak = result.budget.filter((line) => line.of === 'leak').map((line) => line.name);
    expect(leak).toEqual(['pressure drop', 'trapped volume', 'stiffness']);
  });

  it('the level has the whole uncertainty of the gauge; a plain drop has a hundredth of it here', () => {
    expect(result.levelUncertaintyPa).toBeGreaterThan(1.15e5);
    const plain = hold({ stabilityPa: 1e4, judge: 'plain drop' }, { leakDropPa: 2e5 });
    expect(plain.dropUncertaintyPa).toBeLessThan(1.2e4);
    // A leak cools its oil, which warms again: 3 % of it are unsure beside.
    expect(result.dropUncertaintyPa).toBeLessThan(1.96 * Math.hypot(0.03 * 2e5, 1.2e4 / 1.96));
  });

  it('a change of oil temperature that would explain the fall: 2 bar at 10.5 bar/K is 0.19 K', () => {
    expect(result.temperatureToExplainK).toBeCloseTo(0.19, 2);
    expect(result.flags.map((flag) => flag.code)).toContain('temperature-not-measured');
  });

  it('is the same to the last bit when computed again', () => {
    expect(hold({ stabilityPa: 1e4 }, { leakDropPa: 2e5 })).toEqual(result);
  });

  it('is plain JSON', () => {
    expect(JSON.parse(JSON.stringify(result))).toEqual(result);
  });
});

describe('the verdict', () => {
  it.each([
    ['tight', 0, 'pass'],
    ['well below the limit', 2e5, 'pass'],
    ['within the guard band below the limit', 4.95e5, 'inconclusive'],
    ['within the guard band above the limit', 5.05e5, 'inconclusive'],
    ['well above the limit', 8e5, 'fail'],
  ] as const)('guarded, 5 bar allowed, U 0.11 bar: %s', (_, leakDropPa, verdict) => {
    expect(hold({ stabilityPa: 1e4 }, { leakDropPa }).verdict).toBe(verdict);
  });

  it.each([
    [4.95e5, 'pass'],
    [5.05e5, 'fail'],
  ] as const)('simple, 5 bar allowed: a fall of %d Pa', (leakDropPa, verdict) => {
    expect(hold({ stabilityPa: 1e4, decision: 'simple' }, { leakDropPa }).verdict).toBe(verdict);
  });

  it('a limit below what the dwell can resolve gives no pass, whatever the rule', () => {
    for (const decision of ['simple', 'guarded'] as const) {
      const result = hold({ stabilityPa: 1e4, decision, allowed: [dropLimit(5e3)] });
      expect(result.verdict).toBe('inconclusive');
      expect(result.smallestResolvableDropPa).toBeGreaterThan(5e3);
      expect(result.flags.map((flag) => flag.code)).toContain('limit-below-resolution');
    }
  });

  it('of several limits the strictest governs: 2 % of 242 bar against 0.2 mL/min over 5 min', () => {
    const allowed = [
      { kind: 'percent', fraction: 0.02, source: 'a test' },
      { kind: 'leak', leakM3PerS: 0.2e-6 / 60, source: 'a test' },
    ] as const;
    const result = hold({ allowed }, { leakDropPa: 1e5 });
    expect(result.governingLimit).toEqual(allowed[1]);
    expect(result.allowedDropPa).toBeCloseTo(3.82e5, -3);
  });

  it('a leak limit counts the uncertainty of volume and stiffness: 5 % of it leaves no clear pass at 92 %', () => {
    const leakM3PerS = (3.92699e-3 / 1.5e9) * (2.17e5 / 300);
    const leak = [{ kind: 'leak', leakM3PerS, source: 'a test' }] as const;
    expect(hold({ allowed: leak }, { leakDropPa: 2e5 }).verdict).toBe('inconclusive');
    expect(hold({ allowed: [dropLimit(2.17e5)] }, { leakDropPa: 2e5 }).verdict).toBe('pass');
  });

  it('below the pressure it must keep: fail, however small the fall', () => {
    const result = hold({ neverBelowPa: 242e5 }, { leakDropPa: 1e5 });
    expect(result.verdict).toBe('fail');
    expect(result.flags.map((flag) => flag.code)).toContain('below-test-pressure');
  });

  it('above the pressure it must never pass: invalid', () => {
    const result = hold({ overpressurePa: 241e5 });
    expect(result.verdict).toBe('invalid');
    expect(result.flags.map((flag) => flag.code)).toContain('above-limit');
  });

  it('begun under the band of the test pressure: no pass', () => {
    expect(hold({}, { startPa: 230e5 }).verdict).toBe('inconclusive');
  });

  it('a clear rise is no pass: a leak can hide behind it', () => {
    const result = hold({}, { leakDropPa: -2e5 });
    expect(result.verdict).toBe('invalid');
    expect(result.reason).toMatch(/^the pressure rose by .*more than warming can do/);
    expect(result.flags.map((flag) => flag.code)).toContain('rising');
    // Warming by 0.6 K may do it: then it is no proof of oil fed in, and no pass either.
    expect(hold({ unmeasuredTemperatureK: 0.6 }, { leakDropPa: -2e5 }).verdict).toBe('inconclusive');
  });

  it('is said in the marks that every reader gets in own units', () => {
    expect(hold({}, { leakDropPa: 8e5 }).reason).toMatch(
      /^fell \{difference:[\d.]+\} ± \{difference:[\d.]+\} in \{seconds:300\}; /,
    );
  });

  it('is said in the terms of the limit: a leak in flow with the uncertainty of V and K, a rate as a rate', () => {
    const leakM3PerS = 0.2e-6 / 60;
    const leak = hold({ allowed: [{ kind: 'leak', leakM3PerS, source: 'a test' }] }, { leakDropPa: 8e5 });
    const told =
      /^leaks \{flow:([^}]+)\} ± \{flow:([^}]+)\} \(fell \{difference:[^}]+\} ± \{difference:[^}]+\} in \{seconds:300\}\); \{flow:([^}]+)\} is allowed$/.exec(
        leak.reason,
      );
    expect(Number(told?.[1])).toBeCloseTo(leak.leakM3PerS ?? 0, 14);
    expect(Number(told?.[2])).toBeCloseTo(leak.leakUncertaintyM3PerS ?? 0, 14);
    expect(Number(told?.[3])).toBe(leakM3PerS);
    const rate = hold({ allowed: [{ kind: 'rate', ratePaPerS: 1e3, source: 'a test' }] }, { leakDropPa: 8e5 });
    expect(rate.reason).toMatch(/^falls by \{rate:26\d\d[^}]*\} ± \{rate:.*; \{rate:1000\} is allowed$/);
  });

  it('a bound of 0.6 K on an unmeasured temperature is 6 bar of uncertainty at 10.5 bar/K', () => {
    const result = hold({ unmeasuredTemperatureK: 0.6 });
    // 95 % of what lies anywhere within the bound (JCGM 101:2008, 6.4.2), not 1.96 of its standard deviations.
    expect(result.dropUncertaintyPa).toBeCloseTo(0.95 * 0.6 * 1.05e6, -4);
    expect(result.verdict).toBe('inconclusive');
  });
});

describe('how a dwell ended', () => {
  const run = (
    context: DwellContext,
    leakDropPa: number,
    end: { cutShort: boolean; voided: string | null },
    seconds = 100,
  ) => {
    const source = chance(7);
    const { timeUs, pressurePa } = simulatedDwell({
      source,
      durationS: seconds,
      ratePerS: 10,
      startPa: 242e5,
      leakDropPa,
      noise: correlatedNoiseSource(source, 0, 5e3),
    });
    const dwell = startDwell(context);
    timeUs.forEach((time, i) => {
      dwell.add(time, pressurePa[i] ?? 0, null, 0);
    });
    return dwell.finish({ endUs: seconds * 1e6, ...end });
  };

  it('cut short and tight: no pass', () => {
    expect(run(holdContext(), 0, { cutShort: true, voided: null }).verdict).toBe('inconclusive');
  });

  it('cut short but already fallen by more than is allowed: fail', () => {
    expect(run(holdContext(), 6e5, { cutShort: true, voided: null }).verdict).toBe('fail');
  });

  it('cut short with a rate that would fail later, but has not yet: no verdict', () => {
    expect(run(holdContext(), 4e5, { cutShort: true, voided: null }).verdict).toBe('inconclusive');
  });

  it('shorter than demanded counts as cut short even when nobody says so', () => {
    expect(run(holdContext(), 0, { cutShort: false, voided: null }).verdict).toBe('inconclusive');
  });

  it('longer than demanded: the fall is reported for its time and judged for the demanded one', () => {
    const result = run(holdContext({ allowed: [dropLimit(4e5)] }), 6e5, { cutShort: false, voided: null }, 600);
    expect(result.dropPa).toBeGreaterThan(5.9e5);
    expect(result.verdict).toBe('pass');
    expect(result.reason).toContain('{seconds:300}');
  });

  it('voided: invalid with the reason given, and the figures stay', () => {
    const result = run(holdContext(), 8e5, { cutShort: true, voided: 'Topped up during the dwell.' });
    expect(result.verdict).toBe('invalid');
    expect(result.reason).toBe('Topped up during the dwell.');
    expect(result.dropPa).toBeGreaterThan(7.9e5);
  });
});

describe('the gauge', () => {
  it('a tenth of the accuracy class stands for a stability that nobody stated', () => {
    const context = holdContext();
    const { stabilityPa: _, ...gauge } = context.gauge;
    const source = chance(3);
    const dwell = simulatedDwell({
      source,
      durationS: 300,
      ratePerS: 2,
      startPa: 242e5,
      leakDropPa: 0,
      noise: correlatedNoiseSource(source, 0, 5e3),
    });
    const line = evaluate({ ...context, gauge }, dwell).budget.find(({ name }) => name === 'gauge stability');
    expect(line?.u).toBeCloseTo(1e4 / Math.sqrt(3), 6);
    expect(line?.basis).toContain('common practice, no source');
  });

  it('a display that never moved resolves 0.08 bar with steps of 0.1 bar', () => {
    const result = hold({ resolutionPa: 1e4 }, { noise: () => 0, resolutionPa: 1e4 });
    expect(result.dropPa).toBe(0);
    // The difference of two roundings has a triangular distribution: 95 % lie within 1 - sqrt(0.05) of a step.
    expect((result.smallestResolvableDropPa ?? 0) / ((1 - Math.sqrt(0.05)) * 1e4)).toBeCloseTo(1, 1);
    expect(result.diagnosis?.shape).toBe('quantised');
  });

  it("a leak no larger than the bench's own is flagged", () => {
    const leak = (3.92699e-3 / 1.5e9) * (2e5 / 300);
    const codes = (bench: number): string[] =>
      hold({ benchCheckLeakM3PerS: bench }, { leakDropPa: 2e5 }).flags.map((flag) => flag.code);
    expect(codes(0.95 * leak)).toContain('bench-leak');
    expect(codes(0.3 * leak)).not.toContain('bench-leak');
  });

  it('readings flagged by the gauge or without a value are counted, not used', () => {
    const dwell = startDwell(holdContext({ dwellS: 10 }));
    for (let i = 0; i <= 100; i++)
      dwell.add(i * 1e5, i % 10 === 5 ? null : 242e5 + (i % 3) * 1e3, null, i % 10 === 7 ? 2 : 0);
    const result = dwell.finish({ endUs: 1e7, cutShort: false, voided: null });
    expect(result.readings).toBe(81);
    expect(result.flags.find((flag) => flag.code === 'left-out')?.count).toBe(20);
  });
});
