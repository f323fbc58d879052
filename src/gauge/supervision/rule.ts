import type { GaugeFault, GaugeItem } from '../driver.js';
import type { SupervisionLimits } from './limits.js';

/** What supervision looks at: everything a driver hands out, and the passing of time while it hands out nothing. */
export type SupervisionInput = GaugeItem | { readonly kind: 'tick'; readonly timeUs: number };

/** One rule: a start and a pure step. `faults` is empty nearly always, so that a step costs nothing. */
export interface Rule<State> {
  readonly start: State;
  step(state: State, input: SupervisionInput, limits: SupervisionLimits): Outcome<State>;
}

export interface Outcome<State> {
  readonly state: State;
  readonly faults: readonly GaugeFault[];
}

const none: readonly GaugeFault[] = [];
export const quiet = <State>(state: State): Outcome<State> => ({ state, faults: none });
