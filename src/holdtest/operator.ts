import { entryText, keepEntry, takeBack } from './entries.js';
import type { LeakObservation, OperatorAct, PhaseName } from './input.js';
import { cutDwell, finishDwell, isLookedAt, voidDwell } from './phases/dwell.js';
import { beginDwell } from './phases/stabilise.js';
import {
  beginPort,
  endAttempt,
  endStage,
  enter,
  freshRamp,
  freshStabilise,
  report,
  setPhase,
  stageOf,
  type Turn,
} from './turn.js';

/** What a person did or saw, at the time of the turn. An act that means nothing now is kept as a note. */
export function onOperator(turn: Turn, act: OperatorAct): void {
  switch (act.kind) {
    case 'continue':
      return onContinue(turn);
    case 'note':
      keepEntry(turn, act);
      return report(turn, 'note', 'note', act.text);
    case 'observation':
      keepEntry(turn, act);
      if (isExternalLeak(act.observation))
        return report(turn, 'external-leak', 'alarm', `Oil outside at the ${entryText(act)}`);
      return report(turn, 'observation', 'note', entryText(act));
    case 'collected':
      keepEntry(turn, act);
      report(turn, 'collected', 'note', entryText(act));
      return finishLookedAt(turn);
    case 'oil-temperature':
      keepEntry(turn, act);
      turn.effects.push({ kind: 'oil-temperature', timeUs: turn.timeUs, oilK: act.oilK });
      return report(turn, 'oil-temperature', 'note', entryText(act));
    case 'strokes':
    case 'oil-pumped':
      keepEntry(turn, act);
      return report(turn, 'note', 'note', entryText(act));
    case 'inspected':
      keepEntry(turn, act);
      report(turn, 'inspected', 'note', entryText(act));
      return finishLookedAt(turn);
    case 'take-back':
      return takeBack(turn, act.entry, act.reason);
    case 'acknowledge':
      turn.state = { ...turn.state, alarms: [] };
      return;
    case 'end-dwell':
      if (turn.state.phase.name !== 'dwell') return report(turn, 'note', 'note', `No dwell to end: ${act.reason}`);
      report(turn, 'dwell-early-end', 'warn', `Dwell ended by the operator: ${act.reason}`);
      return cutDwell(turn, turn.state.phase, `ended by the operator: ${act.reason}`);
    case 'stop':
      return onStop(turn, act.reason);
    case 'force':
      return onForce(turn, act.to, act.reason);
    case 'repeat':
      return onRepeat(turn, act);
    default:
      return act satisfies never;
  }
}

/** A dwell whose time is over ends with the last thing that it waited for. */
function finishLookedAt(turn: Turn): void {
  const { phase } = turn.state;
  if (phase.name === 'dwell' && phase.timeDone && isLookedAt(turn)) finishDwell(turn, phase, 'all');
}

function onContinue(turn: Turn): void {
  if (turn.state.phase.name === 'ready')
    setPhase(turn, { ...turn.state.phase, confirmed: true, sinceUs: null, zeroCount: 0, zeroMeanPa: 0, other: null });
}

/** A film is allowed at the rod, which moves through its seal; at a weld, a boss or any seal at rest it is an external leak. */
export const isExternalLeak = (observation: LeakObservation): boolean =>
  observation.amount !== 'dry' &&
  (observation.amount !== 'film' || observation.point !== 'rod seal and wiper') &&
  observation.point !== 'bench line or fitting' &&
  observation.point !== 'open opposite port';

function onStop(turn: Turn, reason: string): void {
  report(turn, 'stopped', 'alarm', `Stopped by the operator: ${reason}`);
  const { phase } = turn.state;
  if (phase.name === 'dwell') cutDwell(turn, phase, `stopped: ${reason}`);
  else if (phase.name === 'ramp' || phase.name === 'stabilise' || phase.name === 'ready')
    endStage(turn, { kind: 'no dwell', verdict: 'invalid', reason: `stopped before the dwell: ${reason}` });
}

function onForce(turn: Turn, to: PhaseName, reason: string): void {
  const stage = stageOf(turn.plan, turn.state);
  const { phase, signal } = turn.state;
  const pressurePa = signal.lastPa ?? 0;
  report(turn, 'forced', 'warn', `Forced from ${phase.name} to ${to}: ${reason}`);
  if (to === 'bleed-down' && (phase.name === 'dwell' || phase.name === 'stabilise' || phase.name === 'ramp')) {
    if (phase.name === 'dwell') cutDwell(turn, phase, `forced to bleed-down: ${reason}`, true);
    else endStage(turn, { kind: 'no dwell', verdict: 'inconclusive', reason: `forced to bleed-down: ${reason}` });
  } else if (to === 'done' && phase.name === 'bleed-down') endAttempt(turn);
  else if (to === 'dwell' && stage && phase.name === 'stabilise') beginDwell(turn, turn.timeUs, pressurePa, true);
  else if (to === 'ramp' && phase.name === 'ready') enter(turn, freshRamp(turn.timeUs, pressurePa), 'Ramp.');
  else if (to === 'ramp' && phase.name === 'dwell') voidDwell(turn, 'topped-up', `forced back to the ramp: ${reason}`);
  else if (to === 'stabilise' && stage && phase.name === 'ramp')
    enter(turn, freshStabilise(turn.timeUs, pressurePa, stage.stabilise.forS), 'Waiting for the pressure to settle.');
  else report(turn, 'note', 'note', `There is no way from ${phase.name} to ${to}.`);
}

function onRepeat(turn: Turn, act: Extract<OperatorAct, { kind: 'repeat' }>): void {
  const portIndex = turn.plan.ports.findIndex((port) => port.port === act.port);
  const made = turn.state.attemptsMade[portIndex] ?? 0;
  const idle = turn.state.phase.name === 'done' || turn.state.phase.name === 'ready';
  if (portIndex < 0 || !idle) return report(turn, 'note', 'note', `Port ${act.port} can't be repeated now.`);
  if (made === 0) return report(turn, 'note', 'note', `Port ${act.port} has not been tested yet.`);
  if (made >= turn.plan.attemptsCap)
    return report(
      turn,
      'note',
      'warn',
      `Port ${act.port} has had ${made} attempts, the most that this procedure allows.`,
    );
  beginPort(turn, portIndex, { cause: act.cause, reason: act.reason });
  report(turn, 'repeat', 'note', `Port ${act.port} again, attempt ${made + 1} (${act.cause}): ${act.reason}`);
}
