import { type GaugeSpec, gaugeAt, type PortPlan, type StagePlan, type TestPlan } from '../procedure/index.js';
import type { HoldEvent, HoldEventCode } from './event.js';
import { emptyWindow } from './rate-window.js';
import { watchFrom } from './shut-in.js';
import {
  freshFacts,
  freshReady,
  type HoldEffect,
  type HoldState,
  type Phase,
  type PhaseNamed,
  type StageOutcome,
} from './state.js';
import { freshStrokes } from './strokes/stroke-state.js';

/** One input being worked on: the state as it becomes, and what the world will be told. Lives for one step only. */
export interface Turn {
  readonly plan: TestPlan;
  readonly timeUs: number;
  state: HoldState;
  readonly effects: HoldEffect[];
}

/** The port under test; null when all are done. */
export const portOf = (plan: TestPlan, state: HoldState): PortPlan | null => plan.ports[state.portIndex] ?? null;

/** The stage under way; null between the last stage and the end. */
export const stageOf = (plan: TestPlan, state: HoldState): StagePlan | null =>
  portOf(plan, state)?.stages[state.stageIndex] ?? null;

/** The gauge at the port under test. */
export const gaugeOf = ({ plan, state }: Turn): GaugeSpec => gaugeAt(plan, portOf(plan, state));

/** Puts an event into the record and before the operator. Alarms stay until acknowledged. */
export function report(turn: Turn, code: HoldEventCode, grade: HoldEvent['grade'], text: string): void {
  const port = portOf(turn.plan, turn.state) ?? turn.plan.ports.at(-1);
  if (!port) return;
  const event: HoldEvent = {
    timeUs: turn.timeUs,
    port: port.port,
    attempt: turn.state.attempt,
    stage: stageOf(turn.plan, turn.state)?.name ?? null,
    phase: turn.state.phase.name,
    code,
    grade,
    text,
  };
  turn.effects.push({ kind: 'event', event });
  if (grade === 'alarm' || grade === 'void') turn.state = { ...turn.state, alarms: [...turn.state.alarms, event] };
}

/** Moves to another phase and says so. */
export function enter(turn: Turn, phase: Phase, text: string): void {
  turn.state = { ...turn.state, phase };
  report(turn, 'phase', 'note', text);
}

export function setPhase(turn: Turn, phase: Phase): void {
  turn.state = { ...turn.state, phase };
}

export function setFacts(turn: Turn, facts: Partial<HoldState['facts']>): void {
  turn.state = { ...turn.state, facts: { ...turn.state.facts, ...facts } };
}

/** Closes the stage under way. After a full dwell the next stage follows, after anything else the bleed-down. */
export function endStage(turn: Turn, ended: StageOutcome, endUs: number = turn.timeUs): void {
  const outcome = spoiledOutcome(turn.state.phase, ended);
  const { plan, timeUs } = turn;
  const port = portOf(plan, turn.state);
  if (!port) return;
  const stageIndex = turn.state.stageIndex;
  turn.effects.push({ kind: 'stage-ended', stageIndex, endUs, outcome });
  const next = stageIndex + 1;
  if (outcome.kind === 'full' && next < port.stages.length) {
    const lastPa = turn.state.signal.lastPa ?? 0;
    turn.state = { ...turn.state, stageIndex: next };
    enter(turn, freshRamp(timeUs, lastPa), `Raise the pressure to {pressure:${port.stages[next]?.targetPa ?? 0}}.`);
    return;
  }
  for (let skipped = next; skipped < port.stages.length; skipped++) {
    const reason = 'not run, because the stage before it did not end as it should';
    const none: StageOutcome = { kind: 'no dwell', verdict: 'inconclusive', reason };
    turn.effects.push({ kind: 'stage-ended', stageIndex: skipped, endUs: timeUs, outcome: none });
  }
  const bleedDown: Phase = {
    name: 'bleed-down',
    sinceUs: timeUs,
    belowSinceUs: null,
    zeroCount: 0,
    zeroMeanPa: 0,
    comingFromPa: null,
    warned: false,
  };
  turn.state = { ...turn.state, stageIndex: port.stages.length };
  enter(turn, bleedDown, 'Bleed down slowly at the bench valve.');
}

/** A dwell that was spoiled before stays void, unless a whole one has followed. */
function spoiledOutcome(phase: Phase, outcome: StageOutcome): StageOutcome {
  const spoiled = phase.name === 'dwell' || phase.name === 'stabilise' ? phase.spoiled : null;
  if (spoiled === null || outcome.kind === 'full') return outcome;
  const released = outcome.kind === 'voided' && outcome.released;
  return { kind: 'voided', reason: spoiled, lossCounts: phase.name === 'dwell', released };
}

/** Closes the attempt at this port and makes the next port ready, or ends the test. */
export function endAttempt(turn: Turn): void {
  turn.effects.push({ kind: 'attempt-ended', facts: turn.state.facts });
  beginPort(turn, turn.state.portIndex + 1, null);
}

/** Makes a port ready: the next one, or the same again. */
export function beginPort(turn: Turn, portIndex: number, repeat: HoldState['facts']['repeat']): void {
  const attempt = (turn.state.attemptsMade[portIndex] ?? 0) + 1;
  const done = portIndex >= turn.plan.ports.length;
  turn.state = {
    ...turn.state,
    portIndex,
    attempt: done ? turn.state.attempt : attempt,
    stageIndex: 0,
    phase: done ? { name: 'done' } : freshReady,
    facts: { ...freshFacts, repeat },
    strokes: freshStrokes,
  };
}

/** Near the target after a ramp, with an empty window over the settling time. */
export const freshStabilise = (
  timeUs: number,
  pressurePa: number,
  forS: number,
  spoiled: string | null = null,
): PhaseNamed<'stabilise'> => ({
  name: 'stabilise',
  spoiled,
  sinceUs: timeUs,
  window: emptyWindow(forS),
  outOfBand: false,
  firstRate: null,
  shutIn: watchFrom(timeUs, pressurePa),
});

/** The beginning of a ramp from a pressure. */
export const freshRamp = (timeUs: number, fromPa: number): PhaseNamed<'ramp'> => ({
  name: 'ramp',
  sinceUs: timeUs,
  fromPa,
  peakPa: fromPa,
  window: emptyWindow(2),
  tooFast: false,
  paused: false,
  releasedSinceUs: null,
});
