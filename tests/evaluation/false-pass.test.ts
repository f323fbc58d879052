import { describe, expect, it } from 'vitest';
import { judge } from '../../src/evaluation/index.js';
import type { Reading } from '../../src/gauge/index.js';
import type { PortPlan, StagePlan } from '../../src/procedure/index.js';
import { pressurePa, temperatureK } from '../../src/units/index.js';
import { samplePlan, samplePort, sampleStage } from '../holdtest/sample-plan.js';
import { asInputs, drawTrace, type Leg } from '../holdtest/sample-trace.js';

const bar = 1e5;

/** 5 bar in five minutes at 240 bar, guarded; settled below 2 bar/min. */
const plan = (stage: Partial<StagePlan> = {}, port: Partial<PortPlan> = {}) =>
  samplePlan({
    ports: [
      samplePort({
        stages: [
          sampleStage({
            dwellS: 300,
            stabilise: { ratePaPerS: (2 * bar) / 60, forS: 30, giveUpAfterS: 600 },
            allowed: [{ kind: 'percent', fraction: 0.02, source: 'sample' }],
            ...stage,
          }),
        ],
        ...port,
      }),
    ],
  });

/** Zero, a ramp to 241 bar, then what is drawn over a hold of 345 s, then bleed-down. */
function trace(
  course: (s: number) => number,
  change: (reading: Reading, s: number) => Reading = (reading) => reading,
  hz = 10,
): Reading[] {
  const legs: Leg[] = [
    { s: 5, toBar: 0 },
    { s: 30, toBar: 241 },
    { s: 345, toBar: 241 },
    { s: 5, toBar: 0 },
    { s: 15, toBar: 0 },
  ];
  return drawTrace(legs, { hz, rippleBar: 0.03 }).map((reading) => {
    const s = reading.timeUs / 1e6 - 35;
    const held = s >= 0 && s < 345;
    const moved = held
      ? { ...reading, pressurePa: pressurePa(Math.round((reading.pressurePa ?? 0) + course(s) * bar)) }
      : reading;
    return change(moved, s);
  });
}

const leak = (s: number): number => (-9 * s) / 300;
const clamp = (x: number): number => Math.min(1, Math.max(0, x));
const verdictOf = (readings: readonly Reading[], stage: Partial<StagePlan> = {}, port: Partial<PortPlan> = {}) =>
  judge(plan(stage, port), asInputs(readings)).verdict;

describe('what must not pass', () => {
  it('the tight hold passes and the leak fails: the ground that the rest stands on', () => {
    expect(verdictOf(trace(() => 0))).toBe('pass');
    expect(verdictOf(trace(leak))).toBe('fail');
  });

  it.each<{ what: string; course: (s: number) => number }>([
    { what: 'a leak topped up slowly, 7 bar over 20 s', course: (s) => leak(s) + 7 * clamp((s - 150) / 20) },
    { what: 'a leak topped up slowly, 8 bar over 60 s', course: (s) => leak(s) + 8 * clamp((s - 150) / 60) },
    { what: 'a leak made good by small strokes', course: (s) => leak(s) + 0.3 * Math.floor(s / 10) },
    { what: 'a fall of 8 bar and back', course: (s) => -8 * Math.max(0, 1 - Math.abs(s - 180) / 100) },
  ])('$what', ({ course }) => {
    expect(['invalid', 'inconclusive']).toContain(verdictOf(trace(course)));
  });

  it('a dip below the level that the procedure demands, though both ends are above it', () => {
    const dip = trace((s) => -12 * Math.max(0, 1 - Math.abs(s - 180) / 60));
    expect(['fail', 'invalid']).toContain(verdictOf(dip, { neverBelowPa: pressurePa(232.8 * bar) }));
  });

  it('a bent leak beside a slight bent cooling: 10 bar/K is oil, 40 bar/K is not', () => {
    const bent = (s: number) => clamp(s / 345) ** 2;
    const readings = trace(
      (s) => -9 * bent(s),
      (reading, s) => ({ ...reading, oilK: temperatureK(293.15 - (s > 0 ? 0.2 * bent(s) : 0)) }),
    );
    const result = judge(plan(), asInputs(readings));
    expect(result.verdict).not.toBe('pass');
    expect(result.ports[0]?.stages[0]?.thermalDropPa ?? 1e9).toBeLessThan(3.5 * bar);
  });

  it('a zero that moved during the test, or was off from the start', () => {
    const drifting = trace(
      () => 0,
      (reading, s) => ({ ...reading, pressurePa: pressurePa((reading.pressurePa ?? 0) + clamp(s / 345) * 1.7 * bar) }),
    );
    expect(['inconclusive', 'invalid']).toContain(verdictOf(drifting));
    const off = trace(() => 0).map((reading) => ({
      ...reading,
      pressurePa: pressurePa((reading.pressurePa ?? 0) + 6 * bar),
    }));
    expect(verdictOf(off)).toBe('invalid');
  });

  it('pressure at a port that is said to be open', () => {
    const pressed = trace(
      () => 0,
      (reading) => ({ ...reading, oppositePa: pressurePa(Math.round(0.4 * (reading.pressurePa ?? 0))) }),
    );
    expect(verdictOf(pressed)).toBe('invalid');
  });

  it('a gauge on the other port that rose in the middle of the hold and fell again', () => {
    const risen = trace(
      () => 0,
      (reading, s) => ({
        ...reading,
        oppositePa: pressurePa(Math.round(100 * bar * Math.max(0, 1 - Math.abs(s - 200) / 50))),
      }),
    );
    expect(verdictOf(risen, {}, { opposite: 'gauge' })).toBe('inconclusive');
  });

  it('a single reading above the overpressure limit, from a gauge that gives no second one', () => {
    const over = (hz: number) =>
      trace(
        () => 0,
        (reading, s) => (Math.abs(s - 10) < 0.5 / hz ? { ...reading, pressurePa: pressurePa(262 * bar) } : reading),
        hz,
      );
    expect(verdictOf(over(1))).toBe('invalid');
    expect(verdictOf(over(10))).toBe('pass');
  });

  it('a temperature that no oil can have is not used', () => {
    const hot = trace(leak, (reading, s) => ({ ...reading, oilK: temperatureK(s > 100 && s < 101 ? 1123 : 293.15) }));
    expect(verdictOf(hot)).toBe('fail');
  });

  it('a loss that was proven before a top-up, though a tight dwell follows', () => {
    const legs = (lostBar: number): Leg[] => [
      { s: 5, toBar: 0 },
      { s: 30, toBar: 241 },
      { s: 160, toBar: 241 - lostBar },
      { s: 2, toBar: 241.5 },
      { s: 400, toBar: 241.4 },
      { s: 5, toBar: 0 },
      { s: 15, toBar: 0 },
    ];
    const [lost, little] = [30, 1].map((bar) => judge(plan(), asInputs(drawTrace(legs(bar)))).ports[0]?.stages[0]);
    expect(lost).toMatchObject({ verdict: 'fail' });
    expect(lost?.reason).toContain('that another dwell followed does not undo it');
    expect(little?.verdict).toBe('pass');
  });
});

describe('the release', () => {
  const held = (heldS: number, releaseS: number, hz: number): Reading[] =>
    drawTrace(
      [
        { s: 5, toBar: 0 },
        { s: 30, toBar: 241 },
        { s: heldS, toBar: 240.9 },
        { s: releaseS, toBar: 0 },
        { s: 15, toBar: 0 },
      ],
      { hz, rippleBar: 0.03 },
    );
  const stageOf = (readings: readonly Reading[]) => judge(plan(), asInputs(readings)).ports[0]?.stages[0];

  it.each([
    [0.2, 10],
    [1, 10],
    [20, 10],
    [300, 10],
    [0.2, 1],
    [20, 1],
  ])('over %d s at %d readings a second is no part of a tight hold', (releaseS, hz) => {
    for (const heldS of [302, 307.3, 420]) expect(stageOf(held(heldS, releaseS, hz))?.verdict).toBe('pass');
  });

  it('that begins just before the time is over leaves the dwell short, and is no leak', () => {
    for (const early of [0.5, 2, 4]) expect(stageOf(held(300 - early, 10, 10))?.verdict).toBe('inconclusive');
  });
});
