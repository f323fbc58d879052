import type { GaugeFault, GaugeItem } from '../driver.js';
import type { SupervisionLimits } from './limits.js';

/** What supervision looks at: everything a driver hands out, and the passing of time while it hands out nothing. */
export type SupervisionInput = GaugeItem | { readonly kind: 'tick'; readonly timeUs: number };

/**
 * One rule: what it remembers, as plain JSON, and a step that changes it in place, for this is the path of every
 * reading. The same inputs give the same faults; nothing else is read or changed.
 */
export interface Rule<State> {
  start(): State;
  step(state: State, input: SupervisionInput, limits: SupervisionLimits): GaugeFault | null;
}
