import { describe, expect, it } from 'vitest';
import { beginHold, type HoldEffect, type HoldInput, step } from '../../src/holdtest/index.js';
import type { StagePlan, TestPlan } from '../../src/procedure/index.js';
import { parsePressure, pressureDifferencePa, pressurePa } from '../../src/units/index.js';
import { samplePlan, samplePort, sampleStage } from '../holdtest/sample-plan.js';
import { asInputs, drawTrace, type Leg } from '../holdtest/sample-trace.js';

/** What the phases say of a trace, in order, with the second of each. */
function told(plan: TestPlan, inputs: readonly HoldInput[]) {
  let state = beginHold(plan.ports.length);
  const phases: { readonly name: string; readonly atS: number }[] = [];
  const effects: HoldEffect[] = [];
  for (const input of inputs) {
    const stepped = step(plan, state, input);
    state = stepped.state;
    effects.push(...stepped.effects);
    const timeUs = input.kind === 'reading' ? input.reading.timeUs : phases.at(-1)?.atS;
    if (phases.at(-1)?.name !== state.phase.name) phases.push({ name: state.phase.name, atS: Number(timeUs) / 1e6 });
  }
  return { phases, effects };
}

const psi = (value: number) => parsePressure(`${value} psi`);
const outcomes = (effects: readonly HoldEffect[]) =>
  effects.flatMap((effect) => (effect.kind === 'stage-ended' ? [effect.outcome.kind] : []));
/** Start and end of the only dwell, s. */
function dwellOf(effects: readonly HoldEffect[]): { readonly fromS: number; readonly toS: number } {
  const began = effects.find((effect) => effect.kind === 'dwell-began');
  const ended = effects.find((effect) => effect.kind === 'stage-ended');
  if (began?.kind !== 'dwell-began' || ended?.kind !== 'stage-ended')
    throw new Error('no dwell, or one without an end');
  return { fromS: began.startUs / 1e6, toS: ended.endUs / 1e6 };
}
const codes = (effects: readonly HoldEffect[]) =>
  effects.flatMap((effect) => (effect.kind === 'event' ? [effect.event.code] : []));

/** Holding times that rules print, each with the pressure it goes with, of a cylinder rated 3000 psi. */
const holds = [
  { source: 'GB/T 15622-2005, proof (quoted)', atPa: psi(4500), holdS: 10 },
  { source: 'MIL-PRF-5503G 4.6.8, 150 % for 3 min at each port', atPa: psi(4500), holdS: 180 },
  { source: '30 CFR 250.448 (until it was replaced in 2016), high pressure for 5 min', atPa: psi(3000), holdS: 300 },
  { source: 'ASME B31.3 345.2.2, 2016 (quoted), at least 10 min', atPa: psi(4500), holdS: 600 },
];

const stageOf = (atPa: number, dwellS: number, over: Partial<StagePlan> = {}): StagePlan =>
  sampleStage({
    targetPa: pressurePa(atPa),
    belowPa: pressureDifferencePa(0.02 * atPa),
    abovePa: pressureDifferencePa(0.06 * atPa),
    dwellS,
    ...over,
  });

const planOf = (...stages: StagePlan[]): TestPlan => {
  const highest = Math.max(...stages.map(({ targetPa }) => targetPa));
  return samplePlan({ ports: [samplePort({ stages, overpressurePa: pressurePa(1.1 * highest) })] });
};

/** Up, `s` seconds there, and down again. */
const trace = (bar: number, s: number): Leg[] => [
  { s: 5, toBar: 0 },
  { s: bar / 8, toBar: bar * 1.005 },
  { s, toBar: bar * 1.004 },
  { s: 8, toBar: 0 },
  { s: 15, toBar: 0 },
];

describe('published holding times, each with its source, run through the phases (times computed)', () => {
  it.each(holds)('$source: $holdS s', ({ atPa, holdS }) => {
    const plan = planOf(stageOf(atPa, holdS));
    const { phases, effects } = told(plan, asInputs(drawTrace(trace(atPa / 1e5, holdS + 60))));
    expect(phases.map(({ name }) => name)).toEqual(['ready', 'ramp', 'stabilise', 'dwell', 'bleed-down', 'done']);
    const { fromS, toS } = dwellOf(effects);
    // A whole number of readings, ten a second; the dwell counts from the end of the rise.
    expect(toS - fromS).toBeGreaterThanOrEqual(holdS);
    expect(toS - fromS).toBeLessThan(holdS + 0.2);
    expect(fromS).toBeGreaterThanOrEqual(5 + atPa / 8e5 - 1);
    expect(outcomes(effects)).toEqual(['full']);
  });

  it.each(holds)('$source: let go 5 s too early it was not held', ({ atPa, holdS }) => {
    const plan = planOf(stageOf(atPa, holdS));
    const whole = told(plan, asInputs(drawTrace(trace(atPa / 1e5, holdS + 60))));
    const beganS = dwellOf(whole.effects).fromS - 5 - atPa / 8e5;
    const short = told(plan, asInputs(drawTrace(trace(atPa / 1e5, beganS + holdS - 5))));
    expect(outcomes(short.effects)).not.toContain('full');
  });
});

describe('the order of 30 CFR 250.448 (until it was replaced in 2016): low pressure first, each for 5 min', () => {
  const [low, high] = [psi(250), psi(3000)];
  const stages = [
    stageOf(low, 300, {
      name: 'low',
      belowPa: pressureDifferencePa(psi(50)),
      abovePa: pressureDifferencePa(psi(50)),
      voidAbovePa: psi(500),
    }),
    stageOf(high, 300, { name: 'high' }),
  ];
  const bar = (pa: number) => pa / 1e5;
  const rest: Leg[] = [
    { s: 340, toBar: bar(low) },
    { s: 30, toBar: bar(high) * 1.005 },
    { s: 360, toBar: bar(high) * 1.004 },
    { s: 8, toBar: 0 },
    { s: 15, toBar: 0 },
  ];

  it('250 psi within 200 to 300, then high: both are held in full, the low one first', () => {
    const { phases, effects } = told(
      planOf(...stages),
      asInputs(drawTrace([{ s: 5, toBar: 0 }, { s: 10, toBar: bar(low) }, ...rest])),
    );
    expect(phases.filter(({ name }) => name === 'dwell')).toHaveLength(2);
    expect(outcomes(effects)).toEqual(['full', 'full']);
  });

  it('above 500 psi the low test is void and starts again from zero', () => {
    const over: Leg[] = [
      { s: 5, toBar: 0 },
      { s: 10, toBar: bar(psi(520)) },
      { s: 10, toBar: 0 },
      { s: 10, toBar: 0 },
      { s: 10, toBar: bar(low) },
      ...rest,
    ];
    const { effects } = told(planOf(...stages), asInputs(drawTrace(over)));
    expect(codes(effects)).toContain('low-stage-void');
    expect(outcomes(effects)).toEqual(['full', 'full']);
  });

  it('between 300 and 500 psi it is bled back, and not void', () => {
    const over: Leg[] = [{ s: 5, toBar: 0 }, { s: 10, toBar: bar(psi(400)) }, { s: 5, toBar: bar(low) }, ...rest];
    const { effects } = told(planOf(...stages), asInputs(drawTrace(over)));
    expect(codes(effects)).not.toContain('low-stage-void');
  });
});
