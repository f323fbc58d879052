import type { GaugeFault } from '../driver.js';
import { badShare } from './bad-share.js';
import { frozen } from './frozen.js';
import { jump } from './jump.js';
import type { SupervisionLimits } from './limits.js';
import { range } from './range.js';
import { rate } from './rate.js';
import type { Outcome, SupervisionInput } from './rule.js';
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
  const after = {
    silence: silence.step(state.silence, input, limits),
    rate: rate.step(state.rate, input, limits),
    range: range.step(state.range, input, limits),
    jump: jump.step(state.jump, input, limits),
    frozen: frozen.step(state.frozen, input, limits),
    badShare: badShare.step(state.badShare, input, limits),
  };
  const faults: GaugeFault[] = [];
  for (const { faults: told } of Object.values(after)) if (told.length > 0) faults.push(...told);
  return {
    state: {
      silence: after.silence.state,
      rate: after.rate.state,
      range: after.range.state,
      jump: after.jump.state,
      frozen: after.frozen.state,
      badShare: after.badShare.state,
    },
    faults,
  };
}
