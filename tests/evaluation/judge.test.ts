import { describe, expect, it } from 'vitest';
import { judge, judgedDrop } from '../../src/evaluation/index.js';
import type { HoldInput, OperatorAct } from '../../src/holdtest/index.js';
import { pressurePa, temperatureDifferenceK } from '../../src/units/index.js';
import { samplePlan, samplePort, sampleStage } from '../holdtest/sample-plan.js';
import { asInputs, drawTrace, type Leg, plainHold } from '../holdtest/sample-trace.js';

const act = (atS: number, done: OperatorAct): HoldInput => ({ kind: 'operator', timeUs: atS * 1e6, act: done });
const timeOf = (input: HoldInput): number =>
  input.kind === 'reading' ? input.reading.timeUs : input.kind === 'fault' ? input.fault.timeUs : input.timeUs;
/** A hold, and what a person did in it, in the order of time. */
const withActs = (legs: readonly Leg[], ...acts: readonly HoldInput[]): HoldInput[] =>
  [...acts, ...asInputs(drawTrace(legs))].sort((a, b) => timeOf(a) - timeOf(b));

const wide = samplePlan({
  ports: [samplePort({ stages: [sampleStage({ stabilise: { ratePaPerS: 3e5 / 60, forS: 30, giveUpAfterS: 600 } })] })],
});

describe('the verdict of a test', () => {
  it.each([
    { fall: 0.1, verdict: 'pass' },
    { fall: 1.0, verdict: 'inconclusive' },
    { fall: 1.8, verdict: 'inconclusive' },
    { fall: 3.0, verdict: 'fail' },
  ])('a fall of $fall bar a minute with 2 bar in 2 min allowed: $verdict', ({ fall, verdict }) => {
    expect(judge(wide, asInputs(drawTrace(plainHold(fall)))).verdict).toBe(verdict);
  });

  it('a dwell that went on while the points were looked at is judged over the time demanded', () => {
    const attended = { ...wide, attendance: 'attended' as const };
    const legs = plainHold(0.6, 400);
    const result = judge(attended, withActs(legs, act(1, { kind: 'continue' }), act(420, { kind: 'inspected' })));
    const stage = result.ports[0]?.stages[0];
    if (!stage) throw new Error('no stage was judged');
    const judged = judgedDrop(stage);
    expect(stage).toMatchObject({ verdict: 'pass', demandedDwellS: 120 });
    expect(stage.dwellS).toBeGreaterThan(300);
    expect(stage.dropPa).toBeGreaterThan(stage.allowedDropPa ?? 0);
    expect(judged).toMatchObject({ overS: 120, scaled: true, dropPa: expect.closeTo(1.2e5, -4) });
    expect(result.ports[0]?.reason).toContain(
      `{difference:${judged?.dropPa}} ± {difference:${judged?.uncertaintyPa}} in {seconds:120}`,
    );
  });

  it('oil seen outside fails the port whatever the decay says', () => {
    const seen = act(120, { kind: 'observation', observation: { point: 'gland O-ring', amount: 'drops', drops: 3 } });
    const result = judge(wide, withActs(plainHold(0.1), seen));
    expect(result.ports[0]).toMatchObject({ verdict: 'fail', stages: [{ verdict: 'pass' }] });
    expect(result.ports[0]?.reason).toContain('gland O-ring');
  });

  it('oil from a fitting of the bench, or a film on the rod, does not', () => {
    const fitting = act(120, {
      kind: 'observation',
      observation: { point: 'bench line or fitting', amount: 'drops', drops: 1 },
    });
    const film = act(121, { kind: 'observation', observation: { point: 'rod seal and wiper', amount: 'film' } });
    expect(judge(wide, withActs(plainHold(0.1), fitting, film)).verdict).toBe('pass');
  });

  it('pressure above the overpressure limit makes it invalid', () => {
    const legs = [
      { s: 5, toBar: 0 },
      { s: 50, toBar: 257 },
      { s: 5, toBar: 242 },
      { s: 170, toBar: 241.9 },
    ];
    expect(judge(wide, asInputs(drawTrace(legs))).ports[0]).toMatchObject({
      verdict: 'invalid',
      peakPa: expect.closeTo(257e5, -5),
    });
  });

  it('a gauge that does not read zero when vented makes it invalid', () => {
    const off = drawTrace(plainHold(0.1)).map((r) => ({ ...r, pressurePa: pressurePa((r.pressurePa ?? 0) + 1.6e5) }));
    expect(judge(wide, asInputs(off)).verdict).toBe('invalid');
  });

  it('a forced dwell can not pass', () => {
    const forced = act(60, { kind: 'force', to: 'dwell', reason: 'in a hurry' });
    const result = judge(wide, withActs(plainHold(0.1), forced));
    expect(result.ports[0]?.stages[0]).toMatchObject({
      verdict: 'inconclusive',
      reason: expect.stringContaining('forced'),
    });
  });

  it('a dwell ended early can not pass, and a certain fail stays one', () => {
    const early = act(150, { kind: 'end-dwell', reason: 'shift over' });
    expect(judge(wide, withActs(plainHold(0.1), early)).verdict).toBe('inconclusive');
    expect(judge(wide, withActs(plainHold(2.9, 170, 243), early)).verdict).toBe('fail');
  });

  it('a port of the job that nobody tested leaves the test inconclusive', () => {
    const plan = samplePlan({ ports: [...wide.ports, samplePort({ port: 'B', position: 'retracted' })] });
    const result = judge(plan, asInputs(drawTrace(plainHold(0.1))));
    expect(result.ports.map(({ verdict }) => verdict)).toEqual(['pass', 'inconclusive']);
    expect(result.ports[1]?.reason).toBe('port B was not tested');
    expect(result.verdict).toBe('inconclusive');
  });

  it('the last attempt decides, and the earlier ones stay', () => {
    const bad = drawTrace(plainHold(3.0));
    const endUs = bad.at(-1)?.timeUs ?? 0;
    const good = drawTrace(plainHold(0.1), { startUs: endUs + 2e6 });
    const again = act(endUs / 1e6 + 1, {
      kind: 'repeat',
      port: 'A',
      cause: 'bench fault',
      reason: 'hose fitting wept',
    });
    const inputs: HoldInput[] = [
      ...bad.map((reading): HoldInput => ({ kind: 'reading', reading })),
      again,
      ...asInputs(good),
    ];
    const [port] = judge(wide, inputs).ports;
    expect(port).toMatchObject({ verdict: 'pass', attempt: 2, repeat: { cause: 'bench fault' } });
    expect(port?.earlierAttempts).toMatchObject([{ verdict: 'fail', attempt: 1 }]);
  });

  it('a repeat is held against the attempt before: a leak falls at the same rate each time', () => {
    const first = drawTrace(plainHold(1.8));
    const endUs = first.at(-1)?.timeUs ?? 0;
    const again = act(endUs / 1e6 + 1, {
      kind: 'repeat',
      port: 'A',
      cause: 'bench fault',
      reason: 'hose fitting wept',
    });
    const inputs: HoldInput[] = [
      ...first.map((reading): HoldInput => ({ kind: 'reading', reading })),
      again,
      ...asInputs(drawTrace(plainHold(1.8), { startUs: endUs + 2e6 })),
    ];
    const flags = judge(wide, inputs).ports[0]?.stages[0]?.flags ?? [];
    expect(flags.find(({ code }) => code === 'stages-compared')?.text).toContain('the same rate each time');
  });

  it('an unmeasured oil temperature widens the uncertainty by its stated bound', () => {
    const at = (k: number) =>
      judge({ ...wide, unmeasuredTemperatureK: temperatureDifferenceK(k) }, asInputs(drawTrace(plainHold(0.1))))
        .ports[0]?.stages[0];
    // 0.1 K x 10.5 bar/K, rectangular: 95 % lie within 0.9975 bar; beside the rest it is more, and less than the sum.
    const [without, bounded] = [at(0)?.dropUncertaintyPa ?? Number.NaN, at(0.1)?.dropUncertaintyPa ?? Number.NaN];
    expect(bounded).toBeGreaterThan(0.9975e5);
    expect(bounded).toBeLessThan(0.9975e5 + without);
    expect(at(0.1)?.budget.find(({ name }) => name === 'temperature not measured')?.u).toBeCloseTo(
      1.05e5 / 3 ** 0.5,
      0,
    );
  });

  it('a gauge on the other port that never read leaves the piston seal out of what the hold covered', () => {
    const plan = samplePlan({
      ports: [{ ...wide.ports[0], ...samplePort({ opposite: 'gauge' }), stages: wide.ports[0]?.stages ?? [] }],
    });
    const [port] = judge(plan, asInputs(drawTrace(plainHold(0.1)))).ports;
    expect(port?.covers).toEqual([]);
    expect(port?.notCovered).toEqual(['piston seal', 'rod seal']);
  });

  it('the same inputs give the same result to the last bit', () => {
    const inputs = withActs(plainHold(0.1), act(100, { kind: 'note', text: 'quiet' }));
    expect(JSON.stringify(judge(wide, inputs))).toBe(JSON.stringify(judge(wide, inputs)));
  });
});
