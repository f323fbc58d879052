import { type Reading, readingFlags } from '../gauge/index.js';
import type { TestPlan } from '../procedure/index.js';
import type { EndReason, HoldInput } from './input.js';
import { asLevel } from './level.js';
import { onOperator } from './operator.js';
import { onBleedDown } from './phases/bleed-down.js';
import { cutDwell, finishDwell, onDwell, spoilDwell, tailSoFar, watchGap } from './phases/dwell.js';
import { onRamp } from './phases/ramp.js';
import { onReady, risePa } from './phases/ready.js';
import { breakSettling, onStabilise } from './phases/stabilise.js';
import { gapLimitUs, track } from './signal.js';
import type { HoldState, Stepped } from './state.js';
import { watchStrokes } from './strokes/watch-strokes.js';
import { endStage, portOf, report, setFacts, stageOf, type Turn } from './turn.js';

/**
 * One input through the phases: ready -> ramp -> stabilise -> dwell (-> next stage) -> bleed-down -> next port -> done.
 * Pure: the same plan, state and inputs give the same states and effects, live, imported or replayed.
 */
export function step(plan: TestPlan, state: HoldState, input: HoldInput): Stepped {
  const turn: Turn = { plan, timeUs: timeOf(input), state, effects: [] };
  switch (input.kind) {
    case 'reading':
      onReading(turn, input.reading);
      break;
    case 'fault': {
      const { fault } = input;
      const inDwell = turn.state.phase.name === 'dwell';
      if (fault.effect === 'void') breakSettling(turn);
      if (inDwell && fault.effect === 'void') spoilDwell(turn, 'gauge-fault', fault.text);
      else
        report(
          turn,
          'gauge-fault',
          fault.effect === 'note' ? 'note' : fault.effect === 'void' ? 'alarm' : 'warn',
          fault.text,
        );
      break;
    }
    case 'operator':
      onOperator(turn, input.act);
      break;
    case 'end':
      onEnd(turn, input.why);
      break;
    default:
      input satisfies never;
  }
  return { state: turn.state, effects: turn.effects };
}

function timeOf(input: HoldInput): number {
  if (input.kind === 'reading') return input.reading.timeUs;
  return input.kind === 'fault' ? input.fault.timeUs : input.timeUs;
}

function onReading(turn: Turn, shown: Reading): void {
  const port = portOf(turn.plan, turn.state);
  if (!port) return;
  const reading = asLevel(turn.plan, port, shown);
  const { lastUs } = turn.state.signal;
  if (lastUs !== null && reading.timeUs <= lastUs) {
    if (turn.state.facts.outOfOrder === 0)
      report(turn, 'duplicate-time', 'note', 'Readings that do not follow the one before in time are left out.');
    setFacts(turn, { outOfOrder: turn.state.facts.outOfOrder + 1 });
    return;
  }
  if (lastUs !== null && turn.state.phase.name === 'dwell' && watchGap(turn, lastUs)) return;
  const pressurePa = reading.pressurePa;
  if (pressurePa === null || (reading.flags & (readingFlags.otherUnit | readingFlags.checksum)) !== 0) return;
  if (lastUs !== null && reading.timeUs - lastUs > gapLimitUs(turn.state.signal)) breakSettling(turn);
  const { signal, secondDone } = track(turn.state.signal, reading, pressurePa, port.overpressurePa);
  turn.state = { ...turn.state, signal };
  watchLimits(turn, reading, pressurePa);
  watchStrokes(turn, pressurePa);
  const { phase } = turn.state;
  switch (phase.name) {
    case 'ready':
      return onReady(turn, phase, pressurePa);
    case 'ramp':
      return onRamp(turn, phase, pressurePa);
    case 'stabilise':
      return onStabilise(turn, phase, pressurePa);
    case 'dwell':
      return onDwell(turn, phase, pressurePa, secondDone);
    case 'bleed-down':
      return onBleedDown(turn, phase, pressurePa);
    case 'done':
      return;
    default:
      return phase satisfies never;
  }
}

/** A gauge this slow gives no second reading to confirm the first. */
const slow = (intervalUs: number | null): boolean => intervalUs !== null && intervalUs >= 900_000;

/** Limits that hold in every phase: overpressure (two readings in a row) and pressure at the other port. */
function watchLimits(turn: Turn, reading: Reading, pressurePa: number): void {
  const port = portOf(turn.plan, turn.state);
  if (!port) return;
  const { facts, signal } = turn.state;
  if (facts.peakPa === null || pressurePa > facts.peakPa) setFacts(turn, { peakPa: pressurePa });
  if (signal.overCount === (slow(signal.intervalUs) ? 1 : 2)) {
    setFacts(turn, { overpressure: true });
    report(
      turn,
      'overpressure',
      'alarm',
      `{pressure:${pressurePa}} is above the limit of {pressure:${port.overpressurePa}}. Stop pumping.`,
    );
  }
  const opposite = reading.oppositePa;
  if (opposite !== null && port.opposite === 'open' && turn.state.phase.name === 'dwell') watchOpenPort(turn, opposite);
  if (
    opposite !== null &&
    opposite > port.oppositeLimitPa &&
    !turn.state.alarms.some((alarm) => alarm.code === 'opposite-pressure')
  )
    report(
      turn,
      'opposite-pressure',
      'alarm',
      `{pressure:${opposite}} at the other port, above {pressure:${port.oppositeLimitPa}}: it may be blocked.`,
    );
}

/** Oil that can run out makes no pressure: a port that is said to be open and carries some is not open. */
function watchOpenPort(turn: Turn, oppositePa: number): void {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf(turn.plan, turn.state);
  if (!port || !stage || oppositePa <= risePa(port.zeroTolerancePa, stage.targetPa)) return;
  const before = turn.state.facts.openPortPa;
  if (before === null)
    report(turn, 'opposite-pressure', 'alarm', `{pressure:${oppositePa}} at the other port, which is said to be open.`);
  if (before === null || oppositePa > before) setFacts(turn, { openPortPa: oppositePa });
}

/** Why no dwell began, of a stage that waits for its pressure: never raised, or let go short of the target. */
function neverThere(turn: Turn): string {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf(turn.plan, turn.state);
  const peakPa = turn.state.facts.peakPa ?? 0;
  if (!port || !stage || peakPa <= risePa(port.zeroTolerancePa, stage.targetPa)) return 'before the pressure rose';
  return `without a dwell: the pressure reached {pressure:${peakPa}} and was let go; a dwell may start from {pressure:${stage.targetPa - stage.belowPa}}`;
}

/** The inputs are over: whatever is open is closed for what it is. */
function onEnd(turn: Turn, why: EndReason): void {
  const { phase } = turn.state;
  if (phase.name === 'done') return;
  if (why === 'interrupted')
    report(turn, 'interrupted', 'alarm', 'The test was cut off: the program or the power went.');
  const verdict = why === 'end of trace' ? 'inconclusive' : 'invalid';
  const over =
    why === 'end of trace' ? 'the readings end' : why === 'stopped' ? 'the test was stopped' : 'the test was cut off';
  const stage = stageOf(turn.plan, turn.state);
  if (phase.name === 'dwell' && stage) {
    const heldS = (turn.timeUs - phase.startUs) / 1e6;
    const spareUs = turn.state.signal.intervalUs ?? 0;
    if (why === 'end of trace' && turn.timeUs - phase.startUs + spareUs >= stage.dwellS * 1e6)
      finishDwell(turn, phase, tailSoFar(turn, phase));
    else cutDwell(turn, phase, `${over} after {seconds:${heldS}} of {seconds:${stage.dwellS}} dwell`);
  } else if (phase.name === 'ramp' || phase.name === 'stabilise') {
    const where =
      phase.name === 'ramp'
        ? `before {pressure:${stage?.targetPa ?? 0}} was reached`
        : 'while the pressure was settling';
    endStage(turn, { kind: 'no dwell', verdict, reason: `${over} ${where}` });
  } else if (phase.name === 'ready') {
    if (turn.state.attemptsMade[turn.state.portIndex] === turn.state.attempt)
      endStage(turn, { kind: 'no dwell', verdict, reason: `${over} ${neverThere(turn)}` });
    else return;
  }
  report(turn, 'no-bleed-down', 'note', 'The readings end before the bleed-down was seen.');
  turn.effects.push({ kind: 'attempt-ended', facts: turn.state.facts });
  turn.state = { ...turn.state, phase: { name: 'done' } };
}
