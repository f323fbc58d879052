import { collectedAmount, type PortPlan, type StagePlan, type TestPlan } from '../procedure/index.js';
import { standingEntries } from './entries.js';
import { isCollectedMissing } from './phases/dwell.js';
import { zeroLearnedUs } from './phases/ready.js';
import type { HoldState } from './state.js';
import { portOf, stageOf } from './turn.js';

/** What a person can do at the bench; each is one key. */
export type PromptKey =
  | 'continue'
  | 'inspected'
  | 'observation'
  | 'collected'
  | 'note'
  | 'oil'
  | 'end-dwell'
  | 'force'
  | 'repeat'
  | 'acknowledge'
  | 'take-back'
  | 'stop';

/** The one thing to do now, and what else can be done. */
export interface Prompt {
  /** One or two sentences, figures as marks (see `spell`). */
  readonly text: string;
  /** In the order in which they are worth showing. */
  readonly keys: readonly PromptKey[];
}

/**
 * What the person at the bench is asked for in a state. Pure, so that a terminal, a browser or a test say the same.
 * @example promptFor(plan, state).text // 'Touch no valve. Look at every point, then confirm the inspection.'
 */
export function promptFor(plan: TestPlan, state: HoldState): Prompt {
  const acknowledge: readonly PromptKey[] = state.alarms.length > 0 ? ['acknowledge'] : [];
  const { text, keys } = bare(plan, state);
  const wrong: readonly PromptKey[] = standingEntries(state.facts).length > 0 ? ['take-back'] : [];
  const stop = keys.indexOf('stop');
  const before = stop < 0 ? keys.length : stop;
  return { text, keys: [...acknowledge, ...keys.slice(0, before), ...wrong, ...keys.slice(before)] };
}

function bare(plan: TestPlan, state: HoldState): Prompt {
  const port = portOf(plan, state);
  const stage = stageOf(plan, state);
  const { phase } = state;
  const target = `{pressure:${stage?.targetPa ?? 0}}`;
  switch (phase.name) {
    case 'ready':
      return {
        text: readyText(state, port, stage),
        keys: [
          ...(phase.confirmed ? [] : (['continue'] as const)),
          'note',
          'oil',
          ...repeatable(plan, state),
          'force',
          'stop',
        ],
      };
    case 'ramp':
      return { text: rampText(phase, target), keys: ['note', 'observation', 'oil', 'force', 'stop'] };
    case 'stabilise':
      return { text: settleText(state, target, stage), keys: ['note', 'observation', 'oil', 'force', 'stop'] };
    case 'dwell':
      return {
        text: dwellText(plan, state, phase.timeDone),
        keys: [
          ...(isCollectedMissing(plan, state) ? (['collected'] as const) : []),
          ...(state.facts.inspected ? [] : (['inspected'] as const)),
          'observation',
          ...(isCollectedMissing(plan, state) ? [] : (['collected'] as const)),
          'note',
          'oil',
          'end-dwell',
          'stop',
        ],
      };
    case 'bleed-down':
      return {
        text:
          phase.belowSinceUs === null
            ? `${isCollectedAsked(port, state) ? `Write down the oil collected (${amountText(port)}). ` : ''}Bleed down slowly at the bench valve, to below {pressure:${port?.bleedDown.belowPa ?? 0}}.`
            : 'Leave the bleed valve open: the gauge must stay down. What is behind a check valve does not show on it.',
        keys: ['note', 'observation', 'collected', 'force', 'stop'],
      };
    case 'done': {
      const repeats = repeatable(plan, state);
      return {
        text: `Every port is done. Finish the test${repeats.length === 0 ? '' : ', or repeat a port'}.`,
        keys: ['continue', ...repeats, 'note'],
      };
    }
    default:
      return phase satisfies never;
  }
}

function readyText(state: HoldState, port: PortPlan | null, stage: StagePlan | null): string {
  const { phase, signal } = state;
  if (phase.name !== 'ready' || !phase.confirmed) {
    const wanted = port?.strokes?.wanted ?? 0;
    const { seen } = state.strokes;
    if (seen < wanted)
      return `Port ${port?.port ?? ''}: make ${wanted} slow full strokes at low pressure, a rest at zero before each; ${seen} seen. Then piston ${port?.position ?? ''}, other port ${port?.opposite ?? ''}, vent, and continue.`;
    const piston = `${port?.position ?? ''}${port?.restrained ? ' and restrained' : ''}`;
    if (port?.position === 'no piston') return again(state, 'Connect the vessel. Vent the gauge, then continue.');
    const connect = `Connect port ${port?.port ?? ''}: piston ${piston}, other port ${port?.opposite ?? ''}. Vent the gauge, then continue.`;
    return again(state, connect, 'The cylinder may still be under pressure: vent both ports first.');
  }
  if (phase.sinceUs === null || (signal.lastUs ?? 0) - phase.sinceUs < zeroLearnedUs)
    return 'The zero of the vented gauge is being taken: wait a moment.';
  return `Raise the pressure to {pressure:${stage?.targetPa ?? 0}}, no faster than {rate:${stage?.rampMaxPaPerS ?? 0}}.`;
}

/** What was under pressure before in this test may still be. */
function again(
  state: HoldState,
  connect: string,
  warning = 'The vessel may still be under pressure: vent it first.',
): string {
  const before = state.attempt > 1 || state.attemptsMade.some((made, at) => made > 0 && at !== state.portIndex);
  return before ? `${warning} ${connect}` : connect;
}

function rampText(phase: Extract<HoldState['phase'], { name: 'ramp' }>, target: string): string {
  if (phase.tooFast) return `Slower: the oil warms and will fall as it cools. Go on to ${target}.`;
  if (phase.paused) return `Change over to the booster when you are ready, and go on to ${target}.`;
  return `Raise the pressure to ${target}, a little above it, and stop there.`;
}

function settleText(state: HoldState, target: string, stage: StagePlan | null): string {
  const pa = state.signal.lastPa;
  if (state.phase.name === 'stabilise' && state.phase.outOfBand && pa !== null && stage)
    return pa > stage.targetPa
      ? `Too high: bleed back slowly towards ${target}, then shut the cylinder in.`
      : `Too low: top up to ${target}, then shut the cylinder in.`;
  return 'Shut the cylinder in and leave every valve alone while the pressure settles.';
}

/** Still to be written down, whatever became of the dwell. */
const isCollectedAsked = (port: PortPlan | null, { facts }: HoldState): boolean =>
  port?.collected !== undefined && facts.collected === null;

const amountText = (port: PortPlan | null): string =>
  port?.collected === undefined ? '' : `${port.collected.lessThan ? '' : 'at most '}${collectedAmount(port.collected)}`;

function dwellText(plan: TestPlan, state: HoldState, timeDone: boolean): string {
  const { inspected } = state.facts;
  if (timeDone && plan.attendance === 'unattended')
    return 'The time is over. Bleed down slowly at the bench valve; until then the hold is watched.';
  if (isCollectedMissing(plan, state)) {
    const port = portOf(plan, state);
    const collect = `Collect the oil at port ${port?.port === 'A' ? 'B' : 'A'} and write it down: ${amountText(port)}.`;
    if (inspected) return timeDone ? `The time is over. ${collect} Until then the dwell goes on.` : collect;
    return `Touch no valve. Look at every point. ${collect} Then confirm the inspection.`;
  }
  if (inspected) return 'Inspected. Touch no valve until the time is over.';
  return timeDone
    ? 'The time is over. Look at every point, then confirm the inspection; until then the dwell goes on.'
    : 'Touch no valve. Look at every point, then confirm the inspection.';
}

/** Repeating is offered where some port has been tested and may be tested again. */
function repeatable(plan: TestPlan, state: HoldState): readonly PromptKey[] {
  return state.attemptsMade.some((made) => made > 0 && made < plan.attemptsCap) ? ['repeat'] : [];
}
