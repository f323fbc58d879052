import type { GaugeFault } from '../driver.js';
import { badShare } from './bad-share.js';
import { frozen } from './frozen.js';
import { jump } from './jump.js';
import type { SupervisionLimits } from './limits.js';
import { range } from './range.js';
import { rate } from './rate.js';
import { restart } from './restart.js';
import type { SupervisionInput } from './rule.js';
import { silence } from './silence.js';

/** The start of what supervision remembers of one gauge: plain JSON. */
export const supervisionStart = () => ({
  silence: silence.start(),
  restart: restart.start(),
  rate: rate.start(),
  range: range.start(),
  jump: jump.start(),
  frozen: frozen.start(),
  badShare: badShare.start(),
});

export type SupervisionState = ReturnType<typeof supervisionStart>;

/**
 * Looks at one item, or at the passing of time, and tells what a gauge that works could not have done; the state moves
 * on in place. The same items give the same faults. Each fault is told when it begins, and again only after it was over.
 */
export function supervise(
  state: SupervisionState,
  input: SupervisionInput,
  limits: SupervisionLimits,
): readonly GaugeFault[] {
  switch (input.kind) {
    case 'fault':
      restart.step(state.restart, input, limits);
      return nothing;
    case 'line':
      restart.step(state.restart, input, limits);
      return told(badShare.step(state.badShare, input, limits));
    case 'tick':
      return told(silence.step(state.silence, input, limits));
    default: {
      const silent = silence.step(state.silence, input, limits);
      const again = restart.step(state.restart, input, limits);
      const slow = rate.step(state.rate, input, limits);
      const outside = range.step(state.range, input, limits);
      const moved = jump.step(state.jump, input, limits);
      const still = frozen.step(state.frozen, input, limits);
      // Nearly always nothing is told, and then nothing is made.
      if (!(silent || again || slow || outside || moved || still)) return nothing;
      return [silent, again, slow, outside, moved, still].filter((fault) => fault !== null);
    }
  }
}

const told = (fault: GaugeFault | null): readonly GaugeFault[] => (fault === null ? nothing : [fault]);
const nothing: readonly GaugeFault[] = [];
