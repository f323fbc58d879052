import { faultAt } from '../fault.js';
import { quiet, type Rule } from './rule.js';

const blockLength = 40;

interface BadShare {
  /** Lines of the block under way, and the bad ones among them. */
  readonly lines: number;
  readonly bad: number;
  readonly told: boolean;
}

/** A fifth of a block of forty lines could not be read: the line is disturbed, or a setting is wrong. */
export const badShare: Rule<BadShare> = {
  start: { lines: 0, bad: 0, told: false },
  step(state, input) {
    if (input.kind !== 'line') return quiet(state);
    const lines = state.lines + 1;
    const bad = state.bad + (input.accepted ? 0 : 1);
    if (lines < blockLength) return quiet({ lines, bad, told: state.told });
    const much = bad >= blockLength / 5;
    const next = { lines: 0, bad: 0, told: much };
    if (!much || state.told) return quiet(next);
    const text = `${bad} of the last ${blockLength} lines could not be read: look at cable, shield and line settings`;
    return { state: next, faults: [faultAt(input.timeUs, 'bad-line', text, 'warn')] };
  },
};
