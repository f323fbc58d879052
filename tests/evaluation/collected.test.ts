import { describe, expect, it } from 'vitest';
import { judgeCollected } from '../../src/evaluation/collected.js';
import { judge } from '../../src/evaluation/index.js';
import type { HoldInput, OperatorAct } from '../../src/holdtest/index.js';
import type { CollectedDemand, TestPlan } from '../../src/procedure/index.js';
import { samplePlan, samplePort, sampleStage } from '../holdtest/sample-plan.js';
import { asInputs, drawTrace, plainHold } from '../holdtest/sample-trace.js';

const mL = 1e-6;
const perMin = mL / 60;
/** At most 1 mL in 3 min. */
const demand: CollectedDemand = { volumeM3: mL, overS: 180, source: 'order 7' };
const lessThanOneDrop: CollectedDemand = { volumeM3: 0.05 * mL, drops: 1, overS: 180, lessThan: true, source: 'x' };
const gauge = (leak: number, u = 0.05) => ({ leakM3PerS: leak * perMin, expandedU: u * perMin });
const caught = (volume: number, minutes: number) => ({ volumeM3: volume * mL, overS: minutes * 60 });

describe('the verdict of the cup', () => {
  it.each([
    { what: 'nothing in 3 min', cup: caught(0, 3), verdict: 'pass' },
    { what: 'just the limit', cup: caught(1, 3), verdict: 'pass' },
    { what: 'a little more', cup: caught(1.01, 3), verdict: 'fail' },
    { what: '1.6 mL in 5 min, which is 0.96 in 3', cup: caught(1.6, 5), verdict: 'pass' },
    { what: '1.8 mL in 5 min, which is 1.08 in 3', cup: caught(1.8, 5), verdict: 'fail' },
    { what: 'nothing, for a shorter time', cup: caught(0, 1), verdict: 'inconclusive' },
    { what: 'more than all of it, in a shorter time', cup: caught(1.2, 1), verdict: 'fail' },
    { what: 'nobody looked into the cup', cup: null, verdict: 'inconclusive' },
    { what: 'in no time', cup: caught(0, 0), verdict: 'inconclusive' },
  ])('$what against 1 mL in 3 min: $verdict', ({ cup, verdict }) => {
    expect(judgeCollected(demand, cup, null).verdict).toBe(verdict);
  });

  it('less than one drop: one drop is too much, none is not', () => {
    expect(judgeCollected(lessThanOneDrop, caught(0.05, 3), null).verdict).toBe('fail');
    expect(judgeCollected(lessThanOneDrop, caught(0, 3), null).verdict).toBe('pass');
    expect(judgeCollected(lessThanOneDrop, null, null).reason).toContain(
      'less than 1 drop in {seconds:180} is allowed',
    );
  });

  it.each([
    { what: 'the same by both', by: gauge(0.2), cup: caught(0.6, 3), verdict: 'pass', told: false },
    {
      what: 'nearly twice as much by the gauge',
      by: gauge(0.3, 0.01),
      cup: caught(0.48, 3),
      verdict: 'pass',
      told: false,
    },
    { what: 'a gauge that can not tell', by: gauge(0.3, 0.35), cup: caught(0, 3), verdict: 'pass', told: false },
    { what: 'more by the gauge, within the limit', by: gauge(0.3), cup: caught(0.1, 3), verdict: 'pass', told: true },
    {
      what: 'more by the gauge, beyond the limit',
      by: gauge(0.9),
      cup: caught(0.1, 3),
      verdict: 'inconclusive',
      told: true,
    },
    { what: 'more in the cup', by: gauge(0.05, 0.01), cup: caught(0.9, 3), verdict: 'pass', told: true },
    {
      what: 'too much in the cup, whatever the gauge says',
      by: gauge(0),
      cup: caught(3, 3),
      verdict: 'fail',
      told: true,
    },
  ])('$what: $verdict, contradiction told $told', ({ by, cup, verdict, told }) => {
    const judged = judgeCollected(demand, cup, by);
    expect(judged.verdict).toBe(verdict);
    expect(judged.reason.includes('contradict each other')).toBe(told);
  });
});

const act = (atS: number, done: OperatorAct): HoldInput => ({ kind: 'operator', timeUs: atS * 1e6, act: done });
const timeOf = (input: HoldInput): number =>
  input.kind === 'reading' ? input.reading.timeUs : input.kind === 'fault' ? input.fault.timeUs : input.timeUs;
const withActs = (legs: Parameters<typeof drawTrace>[0], ...acts: readonly HoldInput[]): HoldInput[] =>
  [...acts, ...asInputs(drawTrace(legs))].sort((a, b) => timeOf(a) - timeOf(b));
const looked = act(150, { kind: 'inspected' });
const cup = (volume: number, minutes: number) => act(149, { kind: 'collected', ...caught(volume, minutes) });
const steady = { ratePaPerS: 3e5 / 60, forS: 30, giveUpAfterS: 600 };

const planOf = (allowed: boolean, collected: CollectedDemand | null, dwellS = 120): TestPlan =>
  samplePlan({
    ports: [
      samplePort({
        stages: [sampleStage({ stabilise: steady, dwellS, ...(allowed ? {} : { allowed: [] }) })],
        ...(collected ? { collected } : {}),
      }),
    ],
  });
const portOf = (plan: TestPlan, inputs: HoldInput[]) => judge(plan, inputs).ports[0];

describe('a port judged by the cup', () => {
  const short = { ...demand, overS: 60 };

  it('both verdicts are named, and the worse decides', () => {
    const tight = portOf(planOf(true, short), withActs(plainHold(0.1), cup(0.2, 1), looked));
    expect(tight?.verdict).toBe('pass');
    expect(tight?.reason).toMatch(/proof: fell .*oil collected: /);
    expect(tight?.collected).toMatchObject({ volumeM3: 0.2 * mL, overS: 60, verdict: 'pass', limit: { overS: 60 } });
    const wet = portOf(planOf(true, short), withActs(plainHold(0.1), cup(2, 1), looked));
    expect(wet).toMatchObject({ verdict: 'fail', stages: [{ verdict: 'pass' }], collected: { verdict: 'fail' } });
    expect(wet?.reason).toContain('oil collected');
    const falls = portOf(planOf(true, short), withActs(plainHold(3), cup(0, 1), looked));
    expect(falls).toMatchObject({ verdict: 'fail', stages: [{ verdict: 'fail' }] });
  });

  it('without a word of the cup it is open', () => {
    expect(portOf(planOf(true, short), withActs(plainHold(0.1), looked))).toMatchObject({
      verdict: 'inconclusive',
      collected: null,
      reason: expect.stringContaining('nobody wrote down how much'),
    });
  });

  it('what the cup held without a limit decides nothing', () => {
    const seen = portOf(planOf(true, null), withActs(plainHold(0.1), cup(5, 1), looked));
    expect(seen?.verdict).toBe('pass');
    expect(seen?.collected).not.toHaveProperty('verdict');
  });

  it('an attended dwell waits for the cup as it waits for the inspection', () => {
    const plan: TestPlan = { ...planOf(false, short), attendance: 'attended' };
    const legs = plainHold(0.1, 400);
    const ready = act(1, { kind: 'continue' });
    const late = act(300, { kind: 'collected', ...caught(0.1, 1) });
    const [stage] = portOf(plan, withActs(legs, ready, looked, late))?.stages ?? [];
    expect((stage?.dwellEndUs ?? 0) / 1e6).toBeCloseTo(300, 0);
  });
});

describe('a hold judged by looking', () => {
  const plan = planOf(false, null);

  it('passes by time, level and inspection, with no figure of its drop', () => {
    const port = portOf(plan, withActs(plainHold(0.1), looked));
    expect(port).toMatchObject({
      verdict: 'pass',
      stages: [{ verdict: 'pass', allowedDropPa: null, governingLimit: null }],
    });
    expect(port?.reason).toMatch(/judged by looking/);
  });

  it('is open where nobody confirmed that he looked', () => {
    expect(portOf(plan, asInputs(drawTrace(plainHold(0.1))))).toMatchObject({
      verdict: 'inconclusive',
      reason: expect.stringContaining('nobody confirmed'),
    });
  });

  it('an inspection of the dwell before does not count', () => {
    const before = act(5, { kind: 'inspected' });
    expect(portOf(plan, withActs(plainHold(0.1), before))?.verdict).toBe('inconclusive');
  });

  it('does not pass while a pump keeps the pressure up', () => {
    const fed = [
      { s: 5, toBar: 0 },
      { s: 48.4, toBar: 242 },
      { s: 60, toBar: 241.9 },
      { s: 60, toBar: 243 },
      { s: 60, toBar: 242.9 },
      { s: 8, toBar: 0 },
      { s: 15, toBar: 0 },
    ];
    expect(portOf(plan, withActs(fed, looked))).toMatchObject({
      verdict: 'invalid',
      reason: expect.stringContaining('oil was fed in'),
    });
  });

  it('fails by oil seen outside', () => {
    const seen = act(100, { kind: 'observation', observation: { point: 'port A boss', amount: 'drops' } });
    expect(portOf(plan, withActs(plainHold(0.1), seen, looked))?.verdict).toBe('fail');
  });

  it('is open where the pressure left its band', () => {
    expect(portOf(plan, withActs(plainHold(6), looked))).toMatchObject({
      verdict: 'inconclusive',
      reason: expect.stringMatching(/below the band of the test pressure.*raise it and hold again/),
    });
  });

  it('is open where it was cut short', () => {
    const early = act(130, { kind: 'end-dwell', reason: 'shift over' });
    const seen = act(120, { kind: 'inspected' });
    expect(portOf(plan, withActs(plainHold(0.1), seen, early))?.verdict).toBe('inconclusive');
  });

  it('10 s are enough at a reading a second, as GB/T 15622 asks for', () => {
    const routine = samplePlan({
      ports: [samplePort({ stages: [sampleStage({ dwellS: 10, allowed: [], stabilise: { ...steady, forS: 3 } })] })],
    });
    const legs = [
      { s: 5, toBar: 0 },
      { s: 30, toBar: 242 },
      { s: 11, toBar: 241.9 },
      { s: 2, toBar: 0 },
    ];
    for (const hz of [1, 2, 10]) {
      const trace = asInputs(drawTrace(legs, { hz }));
      const inputs = [...trace, act(44, { kind: 'inspected' })].sort((a, b) => timeOf(a) - timeOf(b));
      expect(portOf(routine, inputs), `${hz} a second`).toMatchObject({
        verdict: 'pass',
        stages: [{ verdict: 'pass' }],
      });
    }
  });
});

describe('what was written down of a dwell before', () => {
  const short = { ...demand, overS: 60 };
  /** A dwell that is topped up in its middle, and another one after it. */
  const twice = [
    ...plainHold(0.1, 120).slice(0, 3),
    { s: 2, toBar: 244 },
    { s: 170, toBar: 243.9 },
    { s: 8, toBar: 0 },
  ];

  it('says nothing of the next one, whatever else is written down', () => {
    const note = act(250, { kind: 'note', text: 'a door was opened' });
    const first = [act(140, { kind: 'inspected' }), act(141, { kind: 'collected', ...caught(0.1, 1) }), note];
    const [before, again] = [
      portOf(planOf(false, short, 150), withActs(twice, ...first)),
      portOf(
        planOf(false, short, 150),
        withActs(twice, ...first, act(310, { kind: 'inspected' }), act(311, { kind: 'collected', ...caught(0.1, 1) })),
      ),
    ];
    expect(before).toMatchObject({ verdict: 'inconclusive', collected: null });
    expect(before?.reason).toMatch(/nobody confirmed.*nobody wrote down how much/);
    expect(again).toMatchObject({ verdict: 'pass' });
  });

  it('an inspection that was taken back is none', () => {
    const inputs = withActs(
      plainHold(0.1),
      act(140, { kind: 'inspected' }),
      act(141, { kind: 'take-back', entry: 0, reason: 'the gland was not looked at' }),
    );
    expect(portOf(planOf(false, null), inputs)).toMatchObject({
      verdict: 'inconclusive',
      reason: expect.stringContaining('nobody confirmed'),
    });
  });
});
