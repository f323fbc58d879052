import { faultAt } from '../fault.js';
import { quiet, type Rule } from './rule.js';

const windowLength = 40;

interface BadShare {
  /** The last lines, true for a bad one. */
  readonly lines: readonly boolean[];
  readonly bad: number;
  readonly told: boolean;
}

/** A fifth of the last forty lines could not be read: the line is disturbed, or a setting is wrong. */
export const badShare: Rule<BadShare> = {
  start: { lines: [], bad: 0, told: false },
  step(state, input) {
    if (input.kind !== 'line') return quiet(state);
    const leaving = state.lines.length >= windowLength ? state.lines[0] === true : false;
    const bad = state.bad + (input.accepted ? 0 : 1) - (leaving ? 1 : 0);
    const lines = [...state.lines.slice(1 - windowLength), !input.accepted];
    const much = lines.length >= windowLength && bad >= windowLength / 5;
    const told = much || (state.told && bad > 0);
    if (!much || state.told) return quiet({ lines, bad, told });
    const text = `${bad} of the last ${windowLength} lines could not be read: look at cable, shield and line settings`;
    return { state: { lines, bad, told }, faults: [faultAt(input.timeUs, 'bad-line', text, 'warn')] };
  },
};
