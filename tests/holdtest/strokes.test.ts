import { describe, expect, it } from 'vitest';
import {
  beginHold,
  type HoldEffect,
  type HoldInput,
  type HoldState,
  promptFor,
  step,
} from '../../src/holdtest/index.js';
import type { StrokeDemand, TestPlan } from '../../src/procedure/index.js';
import { pressureDifferencePa, pressurePa } from '../../src/units/index.js';
import { samplePlan, samplePort, sampleStage } from './sample-plan.js';
import { asInputs, drawTrace, type Leg, plainHold } from './sample-trace.js';

const demand: StrokeDemand = { wanted: 0, restS: 120, belowPa: pressurePa(60e5) };
const planOf = (strokes: Partial<StrokeDemand> = {}, over: Partial<TestPlan> = {}): TestPlan =>
  samplePlan({ ports: [samplePort({ strokes: { ...demand, ...strokes } })], ...over });

interface Ran {
  readonly state: HoldState;
  readonly effects: readonly HoldEffect[];
  readonly ends: readonly string[];
}

function run(plan: TestPlan, inputs: readonly HoldInput[]): Ran {
  let state = beginHold(plan.ports.length);
  const effects: HoldEffect[] = [];
  for (const input of inputs) {
    const stepped = step(plan, state, input);
    state = stepped.state;
    effects.push(...stepped.effects);
  }
  const ends = effects.flatMap((effect) => (effect.kind === 'stroke-seen' ? [effect.stroke.end] : []));
  return { state, effects, ends };
}

const codes = ({ effects }: Ran): string[] =>
  effects.flatMap((effect) => (effect.kind === 'event' && effect.event.code !== 'phase' ? [effect.event.code] : []));
const outcomes = ({ effects }: Ran) =>
  effects.flatMap((effect) => (effect.kind === 'stage-ended' ? [effect.outcome] : []));

/** Up to 4 bar, falls to 3, runs, rises at the stop, and back to zero. */
const stroke: readonly Leg[] = [
  { s: 5, toBar: 0 },
  { s: 4, toBar: 4 },
  { s: 0.2, toBar: 3 },
  { s: 20, toBar: 3.05 },
  { s: 2, toBar: 20 },
  { s: 3, toBar: 20 },
  { s: 2, toBar: 0 },
  { s: 15, toBar: 0 },
];
const hold = plainHold(0.1);
const readings = (legs: readonly Leg[], options?: Parameters<typeof drawTrace>[1]) =>
  asInputs(drawTrace(legs, options));

describe('slow strokes before the hold', () => {
  it('are seen, each with its end, and the hold goes on as if they had not been', () => {
    const found = run(planOf(), readings([...stroke, ...stroke, ...stroke, ...hold]));
    expect(found.ends).toEqual(['end stop', 'end stop', 'end stop']);
    expect(outcomes(found)).toEqual([{ kind: 'full', forced: false }]);
    expect(found.state.phase.name).toBe('done');
  });

  it('say in words about where the piston moved and ran', () => {
    const found = run(planOf({ wanted: 3 }), readings([...stroke, ...hold]));
    const texts = found.effects.flatMap((effect) =>
      effect.kind === 'event' && effect.event.code === 'stroke' ? [effect.event.text] : [],
    );
    expect(texts).toEqual([
      expect.stringMatching(
        /^Slow stroke 1 of 3: moved from about \{pressure:3[89]\d{4}.*ran at about \{pressure:30\d{4}.* to its stop\.$/,
      ),
    ]);
  });

  it('a stroke let go on its way counts by the fall after its top', () =>
    expect(
      run(
        planOf(),
        readings([
          { s: 5, toBar: 0 },
          { s: 4, toBar: 4 },
          { s: 0.2, toBar: 3 },
          { s: 20, toBar: 3 },
          { s: 1, toBar: 0 },
          { s: 15, toBar: 0 },
          ...hold,
        ]),
      ).ends,
    ).toEqual(['let go']));

  it('a stroke that goes on into the test counts, and so does one at 2 Hz', () => {
    const into: Leg[] = [...stroke.slice(0, 4), { s: 48, toBar: 242 }, ...hold.slice(2)];
    expect(run(planOf(), readings(into)).ends).toEqual(['went on']);
    expect(run(planOf(), readings([...stroke, ...hold], { hz: 2 })).ends).toEqual(['end stop']);
  });

  it('a smooth start counts when the full chamber rises far more slowly at the stop', () => {
    const smooth = (stopS: number): Leg[] => [
      { s: 5, toBar: 0 },
      { s: 0.4, toBar: 3 },
      { s: 20, toBar: 3 },
      { s: stopS, toBar: 20 },
      { s: 2, toBar: 0 },
      { s: 15, toBar: 0 },
      ...hold,
    ];
    expect(run(planOf(), readings(smooth(10))).ends).toEqual(['end stop']);
    expect(run(planOf(), readings(smooth(1))).ends).toEqual([]);
  });

  it.each<{ what: string; legs: readonly Leg[] }>([
    { what: 'a plain ramp', legs: hold },
    {
      what: 'a pump held at its relief valve behind a shut valve, and let go',
      legs: [
        { s: 5, toBar: 0 },
        { s: 1, toBar: 20 },
        { s: 15, toBar: 20 },
        { s: 1, toBar: 0 },
        { s: 15, toBar: 0 },
        ...hold,
      ],
    },
    {
      what: 'a pause to look round at 20 bar on the way up',
      legs: [{ s: 5, toBar: 0 }, { s: 4, toBar: 20 }, { s: 20, toBar: 19.8 }, { s: 44, toBar: 242 }, ...hold.slice(2)],
    },
    {
      what: 'a change from pump to a slower booster at 40 bar',
      legs: [{ s: 5, toBar: 0 }, { s: 4, toBar: 40 }, { s: 20, toBar: 39.8 }, { s: 100, toBar: 242 }, ...hold.slice(2)],
    },
    {
      what: 'steps of a hand pump that leak back a little',
      legs: [
        { s: 5, toBar: 0 },
        ...Array.from({ length: 121 }, (_, i): Leg[] => [
          { s: 0.3, toBar: 2 * i + 2 },
          { s: 1, toBar: 2 * i + 1.95 },
        ]).flat(),
        ...hold.slice(2),
      ],
    },
    {
      what: 'oil on its way back at half a bar',
      legs: [
        { s: 5, toBar: 0 },
        { s: 0.5, toBar: 0.5 },
        { s: 30, toBar: 0.5 },
        { s: 0.5, toBar: 0 },
        { s: 15, toBar: 0 },
        ...hold,
      ],
    },
    {
      what: 'one wild reading',
      legs: [{ s: 5, toBar: 0 }, { s: 0.1, toBar: 9 }, { s: 0.1, toBar: 0 }, { s: 15, toBar: 0 }, ...hold],
    },
  ])('$what is none', ({ legs }) => {
    const found = run(planOf({}, {}), readings(legs));
    expect(found.ends).toEqual([]);
    expect(outcomes(found)).toEqual([{ kind: 'full', forced: false }]);
  });

  it('a low stage whose overshoot is bled back, and let go, is none', () => {
    const low = sampleStage({ name: 'low', targetPa: pressurePa(5e5), belowPa: pressureDifferencePa(5e4) });
    const plan = samplePlan({ ports: [samplePort({ stages: [low, sampleStage()], strokes: demand })] });
    const bled: Leg[] = [
      { s: 5, toBar: 0 },
      { s: 5, toBar: 5.9 },
      { s: 0.5, toBar: 5.1 },
      { s: 20, toBar: 5.1 },
      { s: 1, toBar: 0 },
      { s: 15, toBar: 0 },
    ];
    expect(run(plan, readings(bled)).ends).toEqual([]);
  });
});

describe('strokes that a procedure asks for', () => {
  const act = (atS: number, done: Extract<HoldInput, { kind: 'operator' }>['act']): HoldInput => ({
    kind: 'operator',
    timeUs: atS * 1e6,
    act: done,
  });

  it('are missed before the first dwell, as a warning and no more', () => {
    const found = run(planOf({ wanted: 2 }), readings([...stroke, ...hold]));
    expect(codes(found)).toContain('strokes-missing');
    expect(outcomes(found)).toEqual([{ kind: 'full', forced: false }]);
    expect(codes(run(planOf({ wanted: 2 }), readings([...stroke, ...stroke, ...hold])))).not.toContain(
      'strokes-missing',
    );
    expect(codes(run(planOf(), readings(hold)))).not.toContain('strokes-missing');
  });

  it('are made before the lines are confirmed, and leave them so', () => {
    const plan = planOf({ wanted: 1 }, { attendance: 'attended' });
    expect(promptFor(plan, beginHold(1)).text).toContain('make 1 slow full strokes at low pressure');
    const after = run(plan, readings([...stroke]).slice(0, -1));
    expect(after.state.phase).toMatchObject({ name: 'ready', confirmed: false });
    expect(after.effects.some((effect) => effect.kind === 'event' && effect.event.text.includes('confirmed'))).toBe(
      false,
    );
    expect(promptFor(plan, after.state).text).toMatch(/^Connect port A: piston extended/);
    const unconfirmed = run(plan, [...readings([...stroke, ...hold])]);
    expect(
      unconfirmed.effects.some(
        (effect) =>
          effect.kind === 'event' && effect.event.text === 'The pressure rose before the lines were confirmed.',
      ),
    ).toBe(true);
    const confirmed = run(plan, [
      ...readings([...stroke]).slice(0, -1),
      act(60, { kind: 'continue' }),
      ...readings(hold, {})
        .slice(0, -1)
        .map(
          (input): HoldInput =>
            input.kind === 'reading'
              ? { kind: 'reading', reading: { ...input.reading, timeUs: input.reading.timeUs + 60e6 } }
              : input,
        ),
    ]);
    expect(confirmed.effects.some((e) => e.kind === 'event' && e.event.text.includes('before the lines'))).toBe(false);
  });
});

describe('a plan that knows of no strokes', () => {
  it('sees none, and says of a pressure that came and went what it said before', () => {
    const found = run(samplePlan(), readings([...stroke, ...hold]));
    expect(found.ends).toEqual([]);
    expect(codes(found)).not.toContain('stroke');
    const texts = found.effects.flatMap((effect) => (effect.kind === 'event' ? [effect.event.text] : []));
    expect(texts).toContain('The pressure was let go before a dwell began; the stage starts again.');
  });
});

describe('the state of strokes', () => {
  it('is plain JSON: a test goes on from a stored state at any reading, to the same effects', () => {
    const plan = planOf({ wanted: 3 });
    const inputs = readings([...stroke, ...stroke, ...hold]);
    let state = beginHold(1);
    const effects: HoldEffect[] = [];
    for (const [i, input] of inputs.entries()) {
      if (i % 7 === 0) state = JSON.parse(JSON.stringify(state)) as HoldState;
      const stepped = step(plan, state, input);
      state = stepped.state;
      effects.push(...stepped.effects);
    }
    expect(effects).toEqual(run(plan, inputs).effects);
  });
});
