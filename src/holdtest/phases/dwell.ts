import type { StagePlan, TestPlan } from '../../procedure/index.js';
import { gapLimitUs, suddenChangePa } from '../signal.js';
import type { HoldState, PhaseNamed, StageOutcome } from '../state.js';
import { endStage, enter, freshStabilise, gaugeOf, portOf, report, setPhase, stageOf, type Turn } from '../turn.js';
import { breakSettling } from './stabilise.js';
import { stepLimits } from './step-limits.js';

type Dwell = PhaseNamed<'dwell'>;
type FullDwell = Extract<StageOutcome, { kind: 'full' }>;

/** Seconds over which a sudden fall must have come to rest to count as a valve moved. */
const restSeconds = 6;

/**
 * The hold itself: nothing may be touched; its time is a minimum until the inspection is confirmed. With nobody there to
 * confirm it, the last hold of a port is watched until the pressure is let go.
 */
export function onDwell(turn: Turn, phase: Dwell, pressurePa: number, secondDone: boolean): void {
  const stage = stageOf(turn.plan, turn.state);
  if (!stage) return;
  if (pressurePa < 0.5 * stage.targetPa) {
    if (isOvertime(turn, phase)) return finishDwell(turn, phase, 'released');
    const text = `the pressure fell to {pressure:${pressurePa}} within the dwell: it was let go, or something gave way`;
    voidDwell(turn, 'pressure-lost', text);
    return;
  }
  if (secondDone && watchSteps(turn, phase, stage)) return;
  const mustKeep = stage.neverBelowPa !== undefined && !isOvertime(turn, phase);
  if (mustKeep && pressurePa < stage.neverBelowPa) reportBelowOnce(turn, pressurePa);
  if (turn.timeUs - phase.startUs < stage.dwellS * 1e6) return;
  const current = turn.state.phase.name === 'dwell' ? turn.state.phase : phase;
  const unattended = turn.plan.attendance === 'unattended';
  if (unattended && !isLastStage(turn)) return finishDwell(turn, current, 'all');
  if (!unattended && isLookedAt(turn)) return finishDwell(turn, current, 'all');
  if (phase.timeDone) return;
  setPhase(turn, { ...current, timeDone: true });
  report(
    turn,
    'phase',
    'note',
    unattended
      ? 'The demanded time is over. Bleed down slowly; until then the hold is watched.'
      : 'The demanded time is over. Look at every point, then confirm the inspection.',
  );
}

/** Every point was looked at and, where the procedure judges by it, the oil collected is written down. */
export const isLookedAt = (turn: Turn): boolean =>
  turn.state.facts.inspected && !isCollectedMissing(turn.plan, turn.state);

/** The procedure judges by the oil collected, at the last stage of a port, and nobody has written it down. */
export const isCollectedMissing = (plan: TestPlan, state: HoldState): boolean => {
  const port = portOf(plan, state);
  return port?.collected !== undefined && state.stageIndex + 1 >= port.stages.length && state.facts.collected === null;
};

/** The demanded time is over, and nobody is waited for: the hold is only watched until the pressure is let go. */
const isOvertime = ({ plan }: Turn, phase: Dwell): boolean => phase.timeDone && plan.attendance === 'unattended';

const isLastStage = ({ plan, state }: Turn): boolean =>
  state.stageIndex + 1 >= (portOf(plan, state)?.stages.length ?? 0);

/** The dwell has run its time (and was looked at, where somebody is there to look). */
export function finishDwell(turn: Turn, phase: Dwell, tail: FullDwell['tail']): void {
  const stage = stageOf(turn.plan, turn.state);
  if (!turn.state.facts.inspected)
    report(
      turn,
      'inspection-missing',
      'note',
      'Nobody recorded an inspection: the readings alone cannot show oil outside.',
    );
  const { forced, suddenFalls } = phase;
  const endUs =
    stage !== null && isOvertime(turn, phase) ? Math.min(turn.timeUs, phase.startUs + stage.dwellS * 1e6) : turn.timeUs;
  endStage(turn, { kind: 'full', forced, suddenFalls, tail }, endUs);
}

/** A dwell ended from outside before it ended itself: cut short, but for one of which only the watching was left. */
export function cutDwell(turn: Turn, phase: Dwell, reason: string, forced: boolean = phase.forced): void {
  if (isOvertime(turn, phase)) finishDwell(turn, phase, tailSoFar(turn, phase));
  else endStage(turn, { kind: 'cut short', reason, forced });
}

/** A pressure this far down from the start is on its way out. */
const lettingGo = 0.9;

/** What of the readings up to now belongs to the hold. */
export const tailSoFar = ({ state }: Turn, phase: Dwell): FullDwell['tail'] =>
  (state.signal.lastPa ?? phase.startPa) < lettingGo * phase.startPa ? 'released' : 'all';

/** A dwell that can't be judged any more; after its time nothing spoils it that nobody waits for. */
export function voidDwell(turn: Turn, code: 'topped-up' | Spoilt | 'pressure-lost', reason: string): void {
  const { phase } = turn.state;
  if (phase.name === 'dwell' && isOvertime(turn, phase)) {
    report(turn, code, 'warn', `After the demanded time, so the dwell stands: ${reason}.`);
    return finishDwell(turn, phase, 'none');
  }
  report(turn, code, 'void', `Dwell void: ${reason}.`);
  endStage(turn, {
    kind: 'voided',
    reason,
    lossCounts: code !== 'gauge-fault',
    released: code === 'pressure-lost',
  });
}

type Spoilt = 'data-gap' | 'gauge-fault';

/**
 * Oil was pumped in, or nobody knows what the pressure did: the dwell counts for nothing. Where a dwell counts from the
 * last rise another one begins, and the stage is void unless that runs its whole time.
 */
export function spoilDwell(turn: Turn, code: 'topped-up' | Spoilt, reason: string): void {
  const { phase, signal } = turn.state;
  const stage = stageOf(turn.plan, turn.state);
  if (!stage || phase.name !== 'dwell' || stage.judge === 'plain drop' || isOvertime(turn, phase))
    return voidDwell(turn, code, reason);
  report(turn, code, 'alarm', `The dwell counts for nothing: ${reason}. Another one begins.`);
  enter(
    turn,
    freshStabilise(turn.timeUs, signal.lastPa ?? phase.startPa, stage.stabilise.forS, reason),
    'Shut the cylinder in; the dwell begins again.',
  );
  if (code !== 'topped-up') breakSettling(turn);
}

/** Longer without a pressure than the gauge's rate allows. */
export function watchGap(turn: Turn, lastUs: number): boolean {
  const limitUs = gapLimitUs(turn.state.signal);
  if (turn.timeUs - lastUs <= limitUs) return false;
  spoilDwell(turn, 'data-gap', `no reading for {seconds:${(turn.timeUs - lastUs) / 1e6}}`);
  return true;
}

/** True when the dwell was voided by a step in the pressure. */
function watchSteps(turn: Turn, phase: Dwell, stage: StagePlan): boolean {
  const { signal } = turn.state;
  const { resolutionPa } = gaugeOf(turn);
  const setting = { targetPa: stage.targetPa, resolutionPa };
  const { risePa, fallPa } = stepLimits(setting, signal.roughnessPa);
  const change = suddenChangePa(signal);
  if (change > risePa) {
    spoilDwell(
      turn,
      'topped-up',
      `the pressure rose by {difference:${change}} faster than oil left alone does, as if topped up`,
    );
    return true;
  }
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
    if (restless < fell / 10 && !isOvertime(turn, current)) {
      setPhase(turn, { ...current, fall: null, suddenFalls: current.suddenFalls + 1 });
      report(
        turn,
        'valve-moved',
        'alarm',
        `The pressure fell by {difference:${fell}} within seconds and then held, as if a valve was moved.`,
      );
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
