import type { StagePlan } from '../../procedure/index.js';
import { gapLimitUs, suddenChangePa } from '../signal.js';
import type { PhaseNamed } from '../state.js';
import { endStage, gaugeOf, report, setPhase, stageOf, type Turn } from '../turn.js';
import { stepLimits } from './step-limits.js';

type Dwell = PhaseNamed<'dwell'>;

/** Seconds over which a sudden fall must have come to rest to count as a valve moved. */
const restSeconds = 6;

/** The hold itself: nothing may be touched; its time is a minimum until the inspection is confirmed. */
export function onDwell(turn: Turn, phase: Dwell, pressurePa: number, secondDone: boolean): void {
  const stage = stageOf(turn.plan, turn.state);
  if (!stage) return;
  if (pressurePa < 0.5 * stage.targetPa) {
    const text = `the pressure fell to {pressure:${pressurePa}} within the dwell: it was let go, or something gave way`;
    voidDwell(turn, 'pressure-lost', text);
    return;
  }
  if (secondDone && watchSteps(turn, phase, stage)) return;
  if (stage.neverBelowPa !== undefined && pressurePa < stage.neverBelowPa) reportBelowOnce(turn, pressurePa);
  if (turn.timeUs - phase.startUs < stage.dwellS * 1e6) return;
  if (turn.plan.attendance === 'unattended' || turn.state.facts.inspected) {
    finishDwell(turn, phase.forced);
    return;
  }
  if (!phase.timeDone) {
    const current = turn.state.phase.name === 'dwell' ? turn.state.phase : phase;
    setPhase(turn, { ...current, timeDone: true });
    report(turn, 'phase', 'note', 'The demanded time is over. Look at every point, then confirm the inspection.');
  }
}

/** The dwell has run its time (and was looked at, where somebody is there to look). */
export function finishDwell(turn: Turn, forced: boolean): void {
  if (!turn.state.facts.inspected)
    report(
      turn,
      'inspection-missing',
      'note',
      'Nobody recorded an inspection: the readings alone cannot show oil outside.',
    );
  endStage(turn, { kind: 'full', forced });
}

/** A dwell that can't be judged any more. */
export function voidDwell(
  turn: Turn,
  code: 'topped-up' | 'valve-moved' | 'data-gap' | 'gauge-fault' | 'pressure-lost',
  reason: string,
): void {
  report(turn, code, 'void', `Dwell void: ${reason}.`);
  endStage(turn, { kind: 'voided', reason });
}

/** Longer without a pressure than the gauge's rate allows. */
export function watchGap(turn: Turn, lastUs: number): boolean {
  const limitUs = gapLimitUs(turn.state.signal);
  if (turn.timeUs - lastUs <= limitUs) return false;
  voidDwell(turn, 'data-gap', `no reading for {seconds:${(turn.timeUs - lastUs) / 1e6}}`);
  return true;
}

/** True when the dwell was voided by a step in the pressure. */
function watchSteps(turn: Turn, phase: Dwell, stage: StagePlan): boolean {
  const { signal } = turn.state;
  const { resolutionPa } = gaugeOf(turn);
  const settlePaPerS = stage.stabilise.ratePaPerS;
  const setting = { targetPa: stage.targetPa, resolutionPa, settlePaPerS };
  const { strokePa, risePa, fallPa } = stepLimits(setting, signal.roughnessPa, signal.intervalUs);
  const change = suddenChangePa(signal);
  const risenPa = phase.risenPa + (change > strokePa ? change : 0);
  if (change > risePa || risenPa > risePa) {
    const rose = Math.max(change, risenPa);
    voidDwell(
      turn,
      'topped-up',
      `the pressure rose by {difference:${rose}} faster than oil left alone does, as if topped up`,
    );
    return true;
  }
  if (risenPa > phase.risenPa && turn.state.phase.name === 'dwell') setPhase(turn, { ...turn.state.phase, risenPa });
  const current = turn.state.phase.name === 'dwell' ? turn.state.phase : phase;
  if (current.fall) {
    const sinceSeconds = current.fall.sinceSeconds + 1;
    if (sinceSeconds < restSeconds) {
      setPhase(turn, { ...current, fall: { ...current.fall, sinceSeconds } });
      return false;
    }
    const recent = signal.seconds.slice(-3);
    const restless = Math.abs((recent[0] ?? 0) - (recent.at(-1) ?? 0));
    const fell = current.fall.fromPa - (recent.at(-1) ?? 0);
    setPhase(turn, { ...current, fall: null });
    if (restless < fell / 10) {
      voidDwell(
        turn,
        'valve-moved',
        `the pressure fell by {difference:${fell}} within seconds and then held, as if a valve was moved`,
      );
      return true;
    }
    return false;
  }
  if (-change > fallPa) setPhase(turn, { ...current, fall: { sinceSeconds: 0, fromPa: signal.seconds.at(-4) ?? 0 } });
  return false;
}

function reportBelowOnce(turn: Turn, pressurePa: number): void {
  if (turn.state.alarms.some((alarm) => alarm.code === 'below-test-pressure')) return;
  report(
    turn,
    'below-test-pressure',
    'alarm',
    `{pressure:${pressurePa}} is below the test pressure that must be kept.`,
  );
}
