import {
  beginHold,
  type HoldEffect,
  type HoldInput,
  type HoldState,
  type StageOutcome,
  step,
} from '../../src/holdtest/index.js';
import type { TestPlan } from '../../src/procedure/index.js';

/** What a hold came to: its last state, everything it told, and its phases in turn. */
export interface Ran {
  readonly state: HoldState;
  readonly effects: readonly HoldEffect[];
  readonly phases: readonly string[];
}

/** @param storedEvery the state goes through JSON before every so many inputs; 0: never */
export function run(plan: TestPlan, inputs: readonly HoldInput[], storedEvery = 0): Ran {
  let state = beginHold(plan.ports.length);
  const effects: HoldEffect[] = [];
  const phases: string[] = [state.phase.name];
  for (const [i, input] of inputs.entries()) {
    if (storedEvery > 0 && i % storedEvery === 0) state = JSON.parse(JSON.stringify(state)) as HoldState;
    const stepped = step(plan, state, input);
    state = stepped.state;
    effects.push(...stepped.effects);
    if (phases.at(-1) !== state.phase.name) phases.push(state.phase.name);
  }
  return { state, effects, phases };
}

/** Codes of the events, but for the phases. */
export const codes = ({ effects }: Ran): string[] =>
  effects.flatMap((effect) => (effect.kind === 'event' && effect.event.code !== 'phase' ? [effect.event.code] : []));

export const outcomes = ({ effects }: Ran): StageOutcome[] =>
  effects.flatMap((effect) => (effect.kind === 'stage-ended' ? [effect.outcome] : []));

/** When each stage's dwell began, was entered and ended, s on the trace's clock. */
export function dwells({ effects }: Ran): { beganS: number; enteredS: number; endS: number }[] {
  const found: { beganS: number; enteredS: number; endS: number }[] = [];
  let began: { beganS: number; enteredS: number } | null = null;
  for (const effect of effects) {
    if (effect.kind === 'dwell-began') began = { beganS: effect.startUs / 1e6, enteredS: Number.NaN };
    else if (effect.kind === 'event' && effect.event.phase === 'dwell' && began && Number.isNaN(began.enteredS))
      began.enteredS = effect.event.timeUs / 1e6;
    else if (effect.kind === 'stage-ended' && began) {
      found.push({ ...began, endS: effect.endUs / 1e6 });
      began = null;
    }
  }
  return found;
}

/** The outcome of a dwell that ran its time, with nothing to remark and the pressure let go after it. */
export const fullDwell = (over: Partial<Extract<StageOutcome, { kind: 'full' }>> = {}): StageOutcome => ({
  kind: 'full',
  forced: false,
  suddenFalls: 0,
  tail: 'released',
  ...over,
});

/** The inputs with what a person does in between, in the order of time. */
export function mix(inputs: readonly HoldInput[], ...acts: readonly HoldInput[]): HoldInput[] {
  const timeOf = (input: HoldInput): number =>
    input.kind === 'reading' ? input.reading.timeUs : input.kind === 'fault' ? input.fault.timeUs : input.timeUs;
  return [...inputs, ...acts]
    .map((input, i) => ({ input, i }))
    .sort((a, b) => timeOf(a.input) - timeOf(b.input) || a.i - b.i)
    .map(({ input }) => input);
}

export const act = (atS: number, done: Extract<HoldInput, { kind: 'operator' }>['act']): HoldInput => ({
  kind: 'operator',
  timeUs: atS * 1e6,
  act: done,
});
