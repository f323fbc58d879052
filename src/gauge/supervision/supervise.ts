import type { GaugeFault } from '../driver.js';
import { badShare } from './bad-share.js';
import { frozen } from './frozen.js';
import { jump } from './jump.js';
import type { SupervisionLimits } from './limits.js';
import { range } from './range.js';
import { rate } from './rate.js';
import { type Outcome, quiet, type SupervisionInput } from './rule.js';
import { silence } from './silence.js';

/** What supervision remembers of one gauge: plain JSON. */
export interface SupervisionState {
  readonly silence: typeof silence.start;
  readonly rate: typeof rate.start;
  readonly range: typeof range.start;
  readonly jump: typeof jump.start;
  readonly frozen: typeof frozen.start;
  readonly badShare: typeof badShare.start;
}

export const supervisionStart: SupervisionState = {
  silence: silence.start,
  rate: rate.start,
  range: range.start,
  jump: jump.start,
  frozen: frozen.start,
  badShare: badShare.start,
};

/**
 * Looks at one item, or at the passing of time, and tells what a gauge that works could not have done. Pure: the same
 * items give the same faults. Each fault is told when it begins, and again only after it was over.
 */
export function supervise(
  state: SupervisionState,
  input: SupervisionInput,
  limits: SupervisionLimits,
): Outcome<SupervisionState> {
  if (input.kind === 'fault') return quiet(state);
  if (input.kind === 'line') {
    const told = badShare.step(state.badShare, input, limits);
    return { state: { ...state, badShare: told.state }, faults: told.faults };
  }
  const silent = silence.step(state.silence, input, limits);
  if (input.kind === 'tick') return { state: { ...state, silence: silent.state }, faults: silent.faults };
  const slow = rate.step(state.rate, input, limits);
  const outside = range.step(state.range, input, limits);
  const moved = jump.step(state.jump, input, limits);
  const still = frozen.step(state.frozen, input, limits);
  const told = [silent.faults, slow.faults, outside.faults, moved.faults, still.faults].filter((one) => one.length > 0);
  return {
    state: {
      silence: silent.state,
      rate: slow.state,
      range: outside.state,
      jump: moved.state,
      frozen: still.state,
      badShare: state.badShare,
    },
    faults: told.length === 0 ? nothing : told.flat(),
  };
}

const nothing: readonly GaugeFault[] = [];
