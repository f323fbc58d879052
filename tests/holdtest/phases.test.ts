import { describe, expect, it } from 'vitest';
import { beginHold, type HoldEffect, type HoldInput, type HoldState, step } from '../../src/holdtest/index.js';
import type { TestPlan } from '../../src/procedure/index.js';
import { pressurePa } from '../../src/units/index.js';
import { samplePlan, samplePort, sampleStage } from './sample-plan.js';
import { asInputs, drawTrace, type Leg, plainHold } from './sample-trace.js';

function run(
  plan: TestPlan,
  inputs: readonly HoldInput[],
): { state: HoldState; effects: HoldEffect[]; phases: string[] } {
  let state = beginHold(plan.ports.length);
  const effects: HoldEffect[] = [];
  const phases: string[] = [state.phase.name];
  for (const input of inputs) {
    const stepped = step(plan, state, input);
    state = stepped.state;
    effects.push(...stepped.effects);
    if (phases.at(-1) !== state.phase.name) phases.push(state.phase.name);
  }
  return { state, effects, phases };
}

const codes = (effects: readonly HoldEffect[]) =>
  effects.flatMap((effect) => (effect.kind === 'event' && effect.event.code !== 'phase' ? [effect.event.code] : []));
const outcomes = (effects: readonly HoldEffect[]) =>
  effects.flatMap((effect) => (effect.kind === 'stage-ended' ? [effect.outcome] : []));

/** The same hold with something done to it `afterS` seconds into the trace. */
const withLegs = (legs: readonly Leg[]) => asInputs(drawTrace(legs));

describe('the phases of a hold test', () => {
  it('go from ready through ramp, stabilise, dwell and bleed-down to done', () => {
    const { phases, effects, state } = run(samplePlan(), asInputs(drawTrace(plainHold(0.1))));
    expect(phases).toEqual(['ready', 'ramp', 'stabilise', 'dwell', 'bleed-down', 'done']);
    expect(outcomes(effects)).toEqual([{ kind: 'full', forced: false }]);
    expect(codes(effects)).toEqual(['zero', 'target-reached', 'inspection-missing', 'bled-down']);
    expect(state.phase.name).toBe('done');
  });

  it('take the zero of the vented gauge before and after', () => {
    const { effects } = run(samplePlan(), asInputs(drawTrace(plainHold(0.1))));
    const ended = effects.find((effect) => effect.kind === 'attempt-ended');
    expect(ended?.kind === 'attempt-ended' && Math.abs(ended.facts.zeroBeforePa ?? 1e9)).toBeLessThan(1000);
    expect(ended?.kind === 'attempt-ended' && Math.abs(ended.facts.zeroAfterPa ?? 1e9)).toBeLessThan(1000);
  });

  it('start the dwell only after the rate has stayed small for its whole time', () => {
    const { effects } = run(samplePlan(), asInputs(drawTrace(plainHold(0.1))));
    const began = effects.find((effect) => effect.kind === 'dwell-began');
    const reached = effects.find((effect) => effect.kind === 'event' && effect.event.code === 'target-reached');
    const waitedS =
      began?.kind === 'dwell-began' && reached?.kind === 'event' ? (began.startUs - reached.event.timeUs) / 1e6 : 0;
    expect(waitedS).toBeGreaterThan(27);
    expect(waitedS).toBeLessThan(40);
  });

  it.each<{ what: string; legs: Leg[]; code: string; kind: string }>([
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
      what: 'a valve moved in the dwell voids it',
      legs: [
        { s: 5, toBar: 0 },
        { s: 48, toBar: 242 },
        { s: 80, toBar: 241.9 },
        { s: 0.5, toBar: 239 },
        { s: 90, toBar: 238.9 },
      ],
      code: 'valve-moved',
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
      what: 'a pressure that keeps falling does not settle',
      legs: [
        { s: 5, toBar: 0 },
        { s: 48, toBar: 242 },
        { s: 700, toBar: 238 - 8 },
      ],
      code: 'did-not-settle',
      kind: 'no dwell',
    },
  ])('$what', ({ legs, code, kind }) => {
    const { effects } = run(samplePlan(), withLegs(legs));
    expect(codes(effects), JSON.stringify(outcomes(effects))).toContain(code);
    expect(outcomes(effects)[0]?.kind).toBe(kind);
  });

  it('tell a steady fall from one that slows down, and say what leak it would be', () => {
    const legs = [
      { s: 5, toBar: 0 },
      { s: 48, toBar: 242 },
      { s: 700, toBar: 142 },
    ];
    const [outcome] = outcomes(run(samplePlan(), withLegs(legs)).effects);
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
    const [outcome] = outcomes(run(samplePlan(), withLegs(legs)).effects);
    expect(outcome).toMatchObject({
      kind: 'no dwell',
      verdict: 'inconclusive',
      reason: expect.stringMatching(/reached \{pressure:230\d+\}.*\{pressure:23500000\}/),
    });
  });

  it('keep a dwell with one wild reading', () => {
    const readings = drawTrace(plainHold(0.1));
    const wild = readings.map((reading, i) => (i === 1300 ? { ...reading, pressurePa: pressurePa(252e5) } : reading));
    const { effects } = run(samplePlan(), asInputs(wild));
    expect(outcomes(effects)).toEqual([{ kind: 'full', forced: false }]);
  });

  it('void a dwell with a gap in the readings', () => {
    const readings = drawTrace(plainHold(0.1)).filter((_, i) => i < 1200 || i > 1260);
    const { effects } = run(samplePlan(), asInputs(readings));
    expect(codes(effects)).toContain('data-gap');
    expect(outcomes(effects)[0]?.kind).toBe('voided');
  });

  it('read slow gauges without seeing gaps: one reading in ten seconds', () => {
    const { effects } = run(samplePlan(), asInputs(drawTrace(plainHold(0.1, 200), { hz: 0.1 })));
    expect(codes(effects)).not.toContain('data-gap');
    expect(outcomes(effects)).toEqual([{ kind: 'full', forced: false }]);
  });

  it('raise an alarm above the overpressure limit, but not for a single reading', () => {
    const over = run(samplePlan(), asInputs(drawTrace(plainHold(0.1, 170, 256))));
    expect(codes(over.effects)).toContain('overpressure');
    const once = drawTrace(plainHold(0.1)).map((reading, i) =>
      i === 1300 ? { ...reading, pressurePa: pressurePa(300e5) } : reading,
    );
    expect(codes(run(samplePlan(), asInputs(once)).effects)).not.toContain('overpressure');
  });

  it('report a ramp faster than its limit once', () => {
    const { effects } = run(
      samplePlan(),
      withLegs([
        { s: 5, toBar: 0 },
        { s: 12, toBar: 242 },
        { s: 170, toBar: 241.8 },
      ]),
    );
    expect(codes(effects).filter((code) => code === 'ramp-too-fast')).toHaveLength(1);
  });

  it('see the pause between pump and booster', () => {
    const { effects } = run(
      samplePlan(),
      withLegs([
        { s: 5, toBar: 0 },
        { s: 30, toBar: 140 },
        { s: 20, toBar: 139.9 },
        { s: 25, toBar: 242 },
        { s: 170, toBar: 241.8 },
      ]),
    );
    expect(codes(effects)).toContain('pump-to-booster');
  });

  it('say when a log begins under pressure', () => {
    const { effects } = run(samplePlan(), asInputs(drawTrace([{ s: 170, toBar: 241.9 }], { fromBar: 242 })));
    expect(codes(effects)).toContain('zero-not-seen');
    expect(outcomes(effects)[0]?.kind).toBe('full');
  });

  it('refuse a zero outside its tolerance', () => {
    const shifted = drawTrace(plainHold(0.1)).map((r) => ({
      ...r,
      pressurePa: pressurePa((r.pressurePa ?? 0) + 1.6e5),
    }));
    expect(codes(run(samplePlan(), asInputs(shifted)).effects)).toContain('zero-out-of-tolerance');
  });

  it('start a low-pressure stage again from zero when it overshoots far, as 30 CFR 250.448 does above 500 psi', () => {
    const low = sampleStage({
      name: 'low',
      targetPa: pressurePa(250 * 6894.757293168361),
      voidAbovePa: pressurePa(500 * 6894.757293168361),
    });
    const plan = samplePlan({ ports: [samplePort({ stages: [low] })] });
    const { effects } = run(
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
    expect(codes(effects)).toContain('low-stage-void');
    expect(outcomes(effects)).toEqual([{ kind: 'full', forced: false }]);
  });

  it('test port B after port A has been bled down', () => {
    const plan = samplePlan({ ports: [samplePort(), samplePort({ port: 'B', position: 'retracted' })] });
    const { effects, phases } = run(plan, withLegs([...plainHold(0.1), ...plainHold(0.1)]));
    expect(effects.filter((effect) => effect.kind === 'attempt-ended')).toHaveLength(2);
    expect(phases.filter((name) => name === 'dwell')).toHaveLength(2);
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
    const { effects } = run(plan, withLegs(legs));
    expect(outcomes(effects)).toEqual([
      { kind: 'full', forced: false },
      { kind: 'full', forced: false },
    ]);
  });
});

describe('a person at the bench', () => {
  const attended = samplePlan({ attendance: 'attended' });
  const act = (atS: number, act: Extract<HoldInput, { kind: 'operator' }>['act']): HoldInput => ({
    kind: 'operator',
    timeUs: atS * 1e6,
    act,
  });
  const mix = (inputs: readonly HoldInput[], ...acts: HoldInput[]) =>
    [...inputs, ...acts]
      .map((input, i) => ({
        input,
        i,
        t: input.kind === 'reading' ? input.reading.timeUs : input.kind === 'fault' ? input.fault.timeUs : input.timeUs,
      }))
      .sort((a, b) => a.t - b.t || a.i - b.i)
      .map(({ input }) => input);

  it('the dwell lasts until the inspection is confirmed, however long that takes', () => {
    const inputs = mix(
      asInputs(drawTrace(plainHold(0.1, 400))),
      act(1, { kind: 'continue' }),
      act(300, { kind: 'inspected' }),
    );
    const { effects } = run(attended, inputs);
    const ended = effects.find((effect) => effect.kind === 'stage-ended');
    expect(ended?.kind === 'stage-ended' && ended.endUs).toBe(300e6);
    expect(codes(effects)).not.toContain('inspection-missing');
  });

  it('a drop at the gland is an external leak, a film on the rod is not', () => {
    const leak = run(attended, [
      act(1, { kind: 'observation', observation: { point: 'gland O-ring', amount: 'drops', drops: 2 } }),
    ]);
    expect(codes(leak.effects)).toEqual(['external-leak']);
    const film = run(attended, [
      act(1, { kind: 'observation', observation: { point: 'rod seal and wiper', amount: 'film' } }),
    ]);
    expect(codes(film.effects)).toEqual(['observation']);
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
    const { effects, state } = run(plan, inputs);
    const attempts = effects.flatMap((effect) => (effect.kind === 'attempt-began' ? [effect.attempt] : []));
    expect(attempts).toEqual([1, 2]);
    expect(codes(effects).filter((code) => code === 'repeat')).toHaveLength(1);
    expect(state.attemptsMade).toEqual([2]);
  });

  it('every forced transition is recorded as forced', () => {
    const inputs = mix(
      asInputs(drawTrace(plainHold(0.1))),
      act(60, { kind: 'force', to: 'dwell', reason: 'customer waits' }),
    );
    const { effects } = run(samplePlan(), inputs);
    expect(codes(effects)).toContain('forced');
    expect(outcomes(effects)[0]).toEqual({ kind: 'full', forced: true });
  });

  it('a stop in the dwell cuts it short and asks for bleed-down', () => {
    const { effects, phases } = run(
      samplePlan(),
      mix(asInputs(drawTrace(plainHold(0.1))), act(120, { kind: 'stop', reason: 'hose weeping' })),
    );
    expect(outcomes(effects)[0]).toMatchObject({ kind: 'cut short' });
    expect(phases).toContain('bleed-down');
  });
});

describe('the state', () => {
  it('is plain JSON: a test goes on from a stored state in every phase, to the same effects', () => {
    const plan = samplePlan();
    const inputs = asInputs(drawTrace(plainHold(0.1)));
    const straight = run(plan, inputs).effects;
    let state = beginHold(1);
    const effects: HoldEffect[] = [];
    for (const [i, input] of inputs.entries()) {
      if (i % 50 === 0) state = JSON.parse(JSON.stringify(state)) as HoldState;
      const stepped = step(plan, state, input);
      state = stepped.state;
      effects.push(...stepped.effects);
    }
    expect(effects).toEqual(straight);
  });
});
