import { describe, expect, it } from 'vitest';
import { beginHold, type HoldInput, promptFor } from '../../src/holdtest/index.js';
import type { StrokeDemand, TestPlan } from '../../src/procedure/index.js';
import { pressureDifferencePa, pressurePa } from '../../src/units/index.js';
import { act, codes, fullDwell, outcomes, type Ran, run } from './run-hold.js';
import { samplePlan, samplePort, sampleStage } from './sample-plan.js';
import { asInputs, drawTrace, type Leg, plainHold } from './sample-trace.js';

const demand: StrokeDemand = { wanted: 0, restS: 120, belowPa: pressurePa(60e5) };
const planOf = (strokes: Partial<StrokeDemand> = {}, over: Partial<TestPlan> = {}): TestPlan =>
  samplePlan({ ports: [samplePort({ strokes: { ...demand, ...strokes } })], ...over });

/** How each stroke seen ended. */
const endsOf = ({ effects }: Ran): string[] =>
  effects.flatMap((effect) => (effect.kind === 'stroke-seen' ? [effect.stroke.end] : []));

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
    expect(endsOf(found)).toEqual(['end stop', 'end stop', 'end stop']);
    expect(outcomes(found)).toEqual([fullDwell()]);
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
      endsOf(
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
        ),
      ),
    ).toEqual(['let go']));

  it('a stroke that goes on into the test counts, and so does one at 2 Hz', () => {
    const into: Leg[] = [...stroke.slice(0, 4), { s: 48, toBar: 242 }, ...hold.slice(2)];
    expect(endsOf(run(planOf(), readings(into)))).toEqual(['went on']);
    expect(endsOf(run(planOf(), readings([...stroke, ...hold], { hz: 2 })))).toEqual(['end stop']);
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
    expect(endsOf(run(planOf(), readings(smooth(10))))).toEqual(['end stop']);
    expect(endsOf(run(planOf(), readings(smooth(1))))).toEqual([]);
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
    expect(endsOf(found)).toEqual([]);
    expect(outcomes(found)).toEqual([fullDwell()]);
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
    expect(endsOf(run(plan, readings(bled)))).toEqual([]);
  });
});

describe('strokes that a procedure asks for', () => {
  it('are missed before the first dwell, as a warning and no more', () => {
    const found = run(planOf({ wanted: 2 }), readings([...stroke, ...hold]));
    expect(codes(found)).toContain('strokes-missing');
    expect(outcomes(found)).toEqual([fullDwell()]);
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
    expect(endsOf(found)).toEqual([]);
    expect(codes(found)).not.toContain('stroke');
    const texts = found.effects.flatMap((effect) => (effect.kind === 'event' ? [effect.event.text] : []));
    expect(texts).toContain('The pressure was let go before a dwell began; the stage starts again.');
  });
});

describe('the state of strokes', () => {
  it('is plain JSON: a test goes on from a stored state at any reading, to the same effects', () => {
    const plan = planOf({ wanted: 3 });
    const inputs = readings([...stroke, ...stroke, ...hold]);
    expect(run(plan, inputs, 7)).toEqual(run(plan, inputs));
  });
});
