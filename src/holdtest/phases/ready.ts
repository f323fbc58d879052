import type { HoldState, PhaseNamed } from '../state.js';
import { mayBeStroke } from '../strokes/watch-strokes.js';
import { enter, freshRamp, gaugeOf, portOf, report, setFacts, setPhase, stageOf, type Turn } from '../turn.js';
import { onRamp } from './ramp.js';

type Ready = PhaseNamed<'ready'>;

/** Above this the pressure counts as rising: clear of the zero tolerance, yet a small part of the target. */
export function risePa(zeroTolerancePa: number, targetPa: number): number {
  return Math.min(Math.max(3 * zeroTolerancePa, 0.02 * targetPa), 0.5 * targetPa);
}

/** The zero is learned from the first second, then from every reading that stays near it. */
export const zeroLearnedUs = 1_000_000;

/** A vented gauge may be this far off, as a share of the target, and still be looked at as a zero. */
const startPa = 0.1;

/** The zero with one more reading; a level that stands below it for two seconds becomes the zero. */
function learned(turn: Turn, phase: Ready, pressurePa: number, tolerancePa: number, learning: boolean): Ready {
  const noisePa = Math.max(2 * gaugeOf(turn).resolutionPa, 4 * turn.state.signal.roughnessPa);
  const nearPa = Math.min(tolerancePa, noisePa);
  if (learning || Math.abs(pressurePa - phase.zeroMeanPa) <= nearPa) {
    const zeroCount = phase.zeroCount + 1;
    return {
      ...phase,
      zeroCount,
      zeroMeanPa: phase.zeroMeanPa + (pressurePa - phase.zeroMeanPa) / zeroCount,
      other: null,
    };
  }
  // Above the zero it may be the slow beginning of a rise through trapped air; below it, nothing else is possible.
  if (pressurePa > phase.zeroMeanPa) return { ...phase, other: null };
  const { other } = phase;
  if (!other || Math.abs(pressurePa - other.meanPa) > nearPa)
    return { ...phase, other: { sinceUs: turn.timeUs, count: 1, meanPa: pressurePa } };
  const count = other.count + 1;
  const meanPa = other.meanPa + (pressurePa - other.meanPa) / count;
  if (turn.timeUs - other.sinceUs < 2 * zeroLearnedUs) return { ...phase, other: { ...other, count, meanPa } };
  return { ...phase, zeroCount: count, zeroMeanPa: meanPa, other: null };
}

/** Lines connected, gauge vented: takes the zero, and notices when the pressure leaves it. */
export function onReady(turn: Turn, phase: Ready, pressurePa: number): void {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf(turn.plan, turn.state);
  if (!port || !stage) return;
  const sinceUs = phase.sinceUs ?? turn.timeUs;
  const learning = turn.timeUs - sinceUs < zeroLearnedUs || phase.zeroCount === 0;
  // In its first second a gauge that is off its zero is told from a log that begins under pressure: it stands still.
  const still = phase.zeroCount === 0 || Math.abs(pressurePa - phase.zeroMeanPa) <= port.zeroTolerancePa;
  const limitPa = learning && still ? startPa * stage.targetPa : risePa(port.zeroTolerancePa, stage.targetPa);
  if (pressurePa <= limitPa) {
    setPhase(turn, { ...learned(turn, phase, pressurePa, port.zeroTolerancePa, learning), sinceUs });
    return;
  }
  if (turn.state.attemptsMade[turn.state.portIndex] !== turn.state.attempt) beginAttempt(turn);
  takeZero(turn, learning && !still ? { ...phase, zeroCount: 0 } : phase, port.zeroTolerancePa);
  if (turn.plan.attendance === 'attended' && !phase.confirmed && !mayBeStroke(turn))
    report(turn, 'phase', 'warn', 'The pressure rose before the lines were confirmed.');
  enter(turn, freshRamp(turn.timeUs, Math.max(0, phase.zeroMeanPa)), `Ramp to {pressure:${stage.targetPa}}.`);
  if (turn.state.phase.name === 'ramp') onRamp(turn, turn.state.phase, pressurePa);
}

/** An attempt counts from the moment the pressure rises. */
function beginAttempt(turn: Turn): void {
  const { portIndex, attempt } = turn.state;
  const attemptsMade: HoldState['attemptsMade'] = turn.state.attemptsMade.map((made, index) =>
    index === portIndex ? attempt : made,
  );
  turn.state = { ...turn.state, attemptsMade };
  turn.effects.push({ kind: 'attempt-began', portIndex, attempt });
}

function takeZero(turn: Turn, phase: Ready, tolerancePa: number): void {
  if (turn.state.facts.zeroBeforePa !== null) return;
  if (phase.zeroCount === 0) {
    report(turn, 'zero-not-seen', 'warn', 'The readings begin under pressure: no zero of the vented gauge was seen.');
    return;
  }
  const zeroInTolerance = Math.abs(phase.zeroMeanPa) <= tolerancePa;
  setFacts(turn, { zeroBeforePa: Math.round(phase.zeroMeanPa), zeroInTolerance });
  if (zeroInTolerance) report(turn, 'zero', 'note', `Zero taken: {difference:${phase.zeroMeanPa}}.`);
  else
    report(
      turn,
      'zero-out-of-tolerance',
      'alarm',
      `The vented gauge reads {difference:${phase.zeroMeanPa}}, outside its zero tolerance of {difference:${tolerancePa}}.`,
    );
}
