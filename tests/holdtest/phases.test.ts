import { describe, expect, it } from 'vitest';
import { type HoldInput, isExternalLeak, leakPoints } from '../../src/holdtest/index.js';
import type { TestPlan } from '../../src/procedure/index.js';
import { pressurePa } from '../../src/units/index.js';
import { act, codes, dwells, fullDwell, mix, outcomes, run } from './run-hold.js';
import { samplePlan, samplePort, sampleStage } from './sample-plan.js';
import { asInputs, drawTrace, type Leg, plainHold } from './sample-trace.js';

/** Settles by the rate of change, as a stage does that judges the plain drop. */
const plainDrop = samplePlan({ ports: [samplePort({ stages: [sampleStage({ judge: 'plain drop' })] })] });

/** The same hold with something done to it `afterS` seconds into the trace. */
const withLegs = (legs: readonly Leg[]) => asInputs(drawTrace(legs));

describe('the phases of a hold test', () => {
  it('go from ready through ramp, stabilise, dwell and bleed-down to done', () => {
    const ran = run(samplePlan(), asInputs(drawTrace(plainHold(0.1))));
    const { phases, state } = ran;
    expect(phases).toEqual(['ready', 'ramp', 'stabilise', 'dwell', 'bleed-down', 'done']);
    expect(outcomes(ran)).toEqual([fullDwell()]);
    expect(codes(ran)).toEqual(['zero', 'target-reached', 'inspection-missing', 'bled-down']);
    expect(state.phase.name).toBe('done');
  });

  it('take the zero of the vented gauge before and after', () => {
    const ran = run(samplePlan(), asInputs(drawTrace(plainHold(0.1))));
    const ended = ran.effects.find((effect) => effect.kind === 'attempt-ended');
    expect(ended?.kind === 'attempt-ended' && Math.abs(ended.facts.zeroBeforePa ?? 1e9)).toBeLessThan(1000);
    expect(ended?.kind === 'attempt-ended' && Math.abs(ended.facts.zeroAfterPa ?? 1e9)).toBeLessThan(1000);
  });

  it.each<{ what: string; plan?: TestPlan; legs: Leg[]; code: string; kind: string }>([
    {
      what: 'a top-up in the dwell voids it',
      legs: [
        { s: 5, toBar: 0 },
        { s: 48, toBar: 242 },
        { s: 80, toBar: 241.9 },
        { s: 0.5, toBar: 243 },
        { s: 90, toBar: 242.9 },
      ],
      code: 'topped-up',
      kind: 'voided',
    },
    {
      what: 'pressure let go in the dwell voids it',
      legs: [
        { s: 5, toBar: 0 },
        { s: 48, toBar: 242 },
        { s: 80, toBar: 241.9 },
        { s: 4, toBar: 0 },
        { s: 20, toBar: 0 },
      ],
      code: 'pressure-lost',
      kind: 'voided',
    },
    {
      what: 'a pressure that keeps falling does not settle to a plain drop',
      plan: plainDrop,
      legs: [
        { s: 5, toBar: 0 },
        { s: 48, toBar: 242 },
        { s: 700, toBar: 230 },
      ],
      code: 'did-not-settle',
      kind: 'no dwell',
    },
    {
      what: 'a pressure that keeps rising does not settle',
      legs: [
        { s: 5, toBar: 0 },
        { s: 48, toBar: 240 },
        { s: 700, toBar: 249 },
      ],
      code: 'did-not-settle',
      kind: 'no dwell',
    },
    {
      what: 'a pressure steady above its band begins no dwell',
      legs: [
        { s: 5, toBar: 0 },
        { s: 48, toBar: 252 },
        { s: 700, toBar: 252 },
      ],
      code: 'did-not-settle',
      kind: 'no dwell',
    },
  ])('$what', ({ plan = samplePlan(), legs, code, kind }) => {
    const ran = run(plan, withLegs(legs));
    expect(codes(ran), JSON.stringify(outcomes(ran))).toContain(code);
    expect(outcomes(ran)[0]?.kind).toBe(kind);
  });

  it('take a steady fall for a dwell, and neither for a valve moved nor for a pressure that did not settle', () => {
    const legs = [
      { s: 5, toBar: 0 },
      { s: 48, toBar: 242 },
      { s: 700, toBar: 142 },
    ];
    const ran = run(samplePlan(), withLegs(legs));
    expect(codes(ran)).toEqual(['zero', 'target-reached', 'inspection-missing', 'no-bleed-down']);
    expect(outcomes(ran)).toEqual([fullDwell({ tail: 'released' })]);
    expect(dwells(ran)).toEqual([{ beganS: 52.9, enteredS: expect.closeTo(82.9, 6), endS: 172.9 }]);
  });

  it('tell a steady fall from one that slows down, and say what leak it would be', () => {
    const legs = [
      { s: 5, toBar: 0 },
      { s: 48, toBar: 242 },
      { s: 700, toBar: 142 },
    ];
    const [outcome] = outcomes(run(plainDrop, withLegs(legs)));
    // 100 bar in 700 s through 3.92699 L at 1.5 GPa: 3.74e-8 m3/s.
    const leak = Number(/leak of \{flow:([^}]+)\}/.exec(outcome && 'reason' in outcome ? outcome.reason : '')?.[1]);
    expect(leak).toBeCloseTo(3.74e-8, 10);
  });

  it('say how far a pressure came that was let go short of its target', () => {
    const legs = [
      { s: 5, toBar: 0 },
      { s: 46, toBar: 230 },
      { s: 60, toBar: 230 },
      { s: 8, toBar: 0 },
      { s: 20, toBar: 0 },
    ];
    const [outcome] = outcomes(run(samplePlan(), withLegs(legs)));
    expect(outcome).toMatchObject({
      kind: 'no dwell',
      verdict: 'inconclusive',
      reason: expect.stringMatching(/reached \{pressure:230\d+\}.*\{pressure:23500000\}/),
    });
  });

  it('keep a dwell with one wild reading', () => {
    const readings = drawTrace(plainHold(0.1));
    const wild = readings.map((reading, i) => (i === 1300 ? { ...reading, pressurePa: pressurePa(252e5) } : reading));
    const ran = run(samplePlan(), asInputs(wild));
    expect(outcomes(ran)).toEqual([fullDwell()]);
  });

  it('void a dwell with a gap in the readings', () => {
    const readings = drawTrace(plainHold(0.1)).filter((_, i) => i < 1200 || i > 1260);
    const ran = run(samplePlan(), asInputs(readings));
    expect(codes(ran)).toContain('data-gap');
    expect(outcomes(ran)[0]?.kind).toBe('voided');
  });

  it('read slow gauges without seeing gaps: one reading in ten seconds', () => {
    const ran = run(samplePlan(), asInputs(drawTrace(plainHold(0.1, 200), { hz: 0.1 })));
    expect(codes(ran)).not.toContain('data-gap');
    expect(outcomes(ran)).toEqual([fullDwell()]);
  });

  it('raise an alarm above the overpressure limit, but not for a single reading', () => {
    const over = run(samplePlan(), asInputs(drawTrace(plainHold(0.1, 170, 256))));
    expect(codes(over)).toContain('overpressure');
    const once = drawTrace(plainHold(0.1)).map((reading, i) =>
      i === 1300 ? { ...reading, pressurePa: pressurePa(300e5) } : reading,
    );
    expect(codes(run(samplePlan(), asInputs(once)))).not.toContain('overpressure');
  });

  it('report a ramp faster than its limit once', () => {
    const ran = run(
      samplePlan(),
      withLegs([
        { s: 5, toBar: 0 },
        { s: 12, toBar: 242 },
        { s: 170, toBar: 241.8 },
      ]),
    );
    expect(codes(ran).filter((code) => code === 'ramp-too-fast')).toHaveLength(1);
  });

  it('see the pause between pump and booster', () => {
    const ran = run(
      samplePlan(),
      withLegs([
        { s: 5, toBar: 0 },
        { s: 30, toBar: 140 },
        { s: 20, toBar: 139.9 },
        { s: 25, toBar: 242 },
        { s: 170, toBar: 241.8 },
      ]),
    );
    expect(codes(ran)).toContain('pump-to-booster');
  });

  it('say when a log begins under pressure', () => {
    const ran = run(samplePlan(), asInputs(drawTrace([{ s: 170, toBar: 241.9 }], { fromBar: 242 })));
    expect(codes(ran)).toContain('zero-not-seen');
    expect(outcomes(ran)[0]?.kind).toBe('full');
  });

  it('refuse a zero outside its tolerance', () => {
    const shifted = drawTrace(plainHold(0.1)).map((r) => ({
      ...r,
      pressurePa: pressurePa((r.pressurePa ?? 0) + 1.6e5),
    }));
    expect(codes(run(samplePlan(), asInputs(shifted)))).toContain('zero-out-of-tolerance');
  });

  it('start a low-pressure stage again from zero when it overshoots far, as 30 CFR 250.448 does above 500 psi', () => {
    const low = sampleStage({
      name: 'low',
      targetPa: pressurePa(250 * 6894.757293168361),
      voidAbovePa: pressurePa(500 * 6894.757293168361),
    });
    const plan = samplePlan({ ports: [samplePort({ stages: [low] })] });
    const ran = run(
      plan,
      withLegs([
        { s: 5, toBar: 0 },
        { s: 10, toBar: 40 },
        { s: 5, toBar: 0 },
        { s: 20, toBar: 0 },
        { s: 10, toBar: 17.5 },
        { s: 170, toBar: 17.45 },
      ]),
    );
    expect(codes(ran)).toContain('low-stage-void');
    expect(outcomes(ran)).toEqual([fullDwell({ tail: 'all' })]);
  });

  it('test port B after port A has been bled down', () => {
    const plan = samplePlan({ ports: [samplePort(), samplePort({ port: 'B', position: 'retracted' })] });
    const ran = run(plan, withLegs([...plainHold(0.1), ...plainHold(0.1)]));
    expect(ran.effects.filter((effect) => effect.kind === 'attempt-ended')).toHaveLength(2);
    expect(ran.phases.filter((name) => name === 'dwell')).toHaveLength(2);
  });

  it('run the stages of a port one after the other', () => {
    const low = sampleStage({ name: 'low', targetPa: pressurePa(20e5), belowPa: samplePort().zeroTolerancePa });
    const plan = samplePlan({ ports: [samplePort({ stages: [low, sampleStage()] })] });
    const legs = [
      { s: 5, toBar: 0 },
      { s: 5, toBar: 20.5 },
      { s: 170, toBar: 20.45 },
      { s: 45, toBar: 242 },
      { s: 170, toBar: 241.8 },
      { s: 8, toBar: 0 },
      { s: 15, toBar: 0 },
    ];
    const ran = run(plan, withLegs(legs));
    expect(outcomes(ran)).toEqual([fullDwell({ tail: 'all' }), fullDwell()]);
  });
});

describe('a person at the bench', () => {
  const attended = samplePlan({ attendance: 'attended' });
  it('the dwell lasts until the inspection is confirmed, however long that takes', () => {
    const inputs = mix(
      asInputs(drawTrace(plainHold(0.1, 400))),
      act(1, { kind: 'continue' }),
      act(300, { kind: 'inspected' }),
    );
    const ran = run(attended, inputs);
    const ended = ran.effects.find((effect) => effect.kind === 'stage-ended');
    expect(ended?.kind === 'stage-ended' && ended.endUs).toBe(300e6);
    expect(codes(ran)).not.toContain('inspection-missing');
  });

  it.each(leakPoints)(
    'a film at the %s is an external leak, but for the rod and what is no part of the cylinder',
    (point) => {
      const allowed: readonly string[] = ['rod seal and wiper', 'open opposite port', 'bench line or fitting'];
      expect(isExternalLeak({ point, amount: 'film' })).toBe(!allowed.includes(point));
      expect(isExternalLeak({ point, amount: 'dry' })).toBe(false);
    },
  );

  it('a drop at the gland is an external leak, a film on the rod is not', () => {
    const leak = run(attended, [
      act(1, { kind: 'observation', observation: { point: 'gland O-ring', amount: 'drops', drops: 2 } }),
    ]);
    expect(codes(leak)).toEqual(['external-leak']);
    const film = run(attended, [
      act(1, { kind: 'observation', observation: { point: 'rod seal and wiper', amount: 'film' } }),
    ]);
    expect(codes(film)).toEqual(['observation']);
  });

  it('a port can be repeated, up to the cap, and every attempt counts', () => {
    const plan = samplePlan({ attendance: 'attended', attemptsCap: 2 });
    const first = drawTrace(plainHold(0.1));
    const endUs = first.at(-1)?.timeUs ?? 0;
    const second = drawTrace(plainHold(0.1), { startUs: endUs + 1e6 });
    const inspected = (t: number) => act(t, { kind: 'inspected' });
    const again = (t: number) =>
      act(t, { kind: 'repeat', port: 'A', cause: 'bench fault', reason: 'hose fitting wept' });
    const inputs = mix(
      [...first, ...second].map((reading): HoldInput => ({ kind: 'reading', reading })),
      inspected(200),
      again(endUs / 1e6 + 0.5),
      inspected(endUs / 1e6 + 200),
      again(2 * (endUs / 1e6) + 2),
    );
    const ran = run(plan, inputs);
    const attempts = ran.effects.flatMap((effect) => (effect.kind === 'attempt-began' ? [effect.attempt] : []));
    expect(attempts).toEqual([1, 2]);
    expect(codes(ran).filter((code) => code === 'repeat')).toHaveLength(1);
    expect(ran.state.attemptsMade).toEqual([2]);
  });

  it('every forced transition is recorded as forced', () => {
    const inputs = mix(
      asInputs(drawTrace(plainHold(0.1))),
      act(60, { kind: 'force', to: 'dwell', reason: 'customer waits' }),
    );
    const ran = run(samplePlan(), inputs);
    expect(codes(ran)).toContain('forced');
    expect(outcomes(ran)[0]).toEqual(fullDwell({ forced: true }));
  });

  it('a stop in the dwell cuts it short and asks for bleed-down', () => {
    const ran = run(
      samplePlan(),
      mix(asInputs(drawTrace(plainHold(0.1))), act(120, { kind: 'stop', reason: 'hose weeping' })),
    );
    expect(outcomes(ran)[0]).toMatchObject({ kind: 'cut short' });
    expect(ran.phases).toContain('bleed-down');
  });
});

describe('the state', () => {
  it('is plain JSON: a test goes on from a stored state in every phase, to the same effects', () => {
    const plan = samplePlan();
    const inputs = asInputs(drawTrace(plainHold(0.1)));
    expect(run(plan, inputs, 50)).toEqual(run(plan, inputs));
  });
});
