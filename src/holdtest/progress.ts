import type { PortPlan, StagePlan, TestPlan } from '../procedure/index.js';
import { ratePaPerS } from './rate-window.js';
import type { HoldState, Phase } from './state.js';
import { portOf, stageOf } from './turn.js';

/** Where a test stands, in the figures that somebody at the bench looks for. */
export interface Progress {
  readonly port: PortPlan | null;
  readonly stage: StagePlan | null;
  readonly phase: Phase['name'];
  /** Rate of change, Pa/s, positive for a rise; null while it is not known, or is the evaluation's to say. */
  readonly ratePaPerS: number | null;
  /** Time in this phase, s, and what it takes at least, where that is known; null before the first reading. */
  readonly inPhaseS: number | null;
  readonly ofS: number | null;
  /** What {@link ofS} is: the demanded dwell, the longest wait for settling, the time below the bleed-down limit. */
  readonly clock: 'dwell' | 'settle within' | 'below limit' | null;
}

/**
 * The figures of a state as of its newest reading.
 * @example progressOf(plan, state).inPhaseS // 42.1, of ofS 300, forty-two seconds into a dwell of five minutes
 */
export function progressOf(plan: TestPlan, state: HoldState): Progress {
  const { phase } = state;
  const port = portOf(plan, state);
  const stage = stageOf(plan, state);
  const nowUs = state.signal.lastUs;
  const since = (us: number | null): number | null =>
    us === null || nowUs === null ? null : Math.max(0, nowUs - us) / 1e6;
  const bare = { port, stage, phase: phase.name, ratePaPerS: null, inPhaseS: null, ofS: null, clock: null };
  switch (phase.name) {
    case 'ready':
      return { ...bare, inPhaseS: since(phase.sinceUs) };
    case 'ramp':
      return { ...bare, ratePaPerS: ratePaPerS(phase.window), inPhaseS: since(phase.sinceUs) };
    case 'stabilise':
      return {
        ...bare,
        ratePaPerS: ratePaPerS(phase.window),
        inPhaseS: since(phase.sinceUs),
        ofS: stage?.stabilise.giveUpAfterS ?? null,
        clock: 'settle within',
      };
    case 'dwell':
      return { ...bare, inPhaseS: since(phase.startUs), ofS: stage?.dwellS ?? null, clock: 'dwell' };
    case 'bleed-down':
      return phase.belowSinceUs === null
        ? { ...bare, inPhaseS: since(phase.sinceUs) }
        : { ...bare, inPhaseS: since(phase.belowSinceUs), ofS: port?.bleedDown.forS ?? null, clock: 'below limit' };
    case 'done':
      return bare;
    default:
      return phase satisfies never;
  }
}
