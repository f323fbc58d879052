import { faultAt } from '../fault.js';
import type { Rule } from './rule.js';

const blockLength = 40;

export interface BadShare {
  /** Lines of the block under way, and the bad ones among them. */
  lines: number;
  bad: number;
  told: boolean;
}

/** A fifth of a block of forty lines could not be read: the line is disturbed, or a setting is wrong. */
export const badShare: Rule<BadShare> = {
  start: () => ({ lines: 0, bad: 0, told: false }),
  step(state, input) {
    if (input.kind !== 'line') return null;
    state.lines += 1;
    if (!input.accepted) state.bad += 1;
    if (state.lines < blockLength) return null;
    const { bad, told } = state;
    state.lines = 0;
    state.bad = 0;
    state.told = bad >= blockLength / 5;
    if (!state.told || told) return null;
    const text = `${bad} of the last ${blockLength} lines could not be read: look at cable, shield and line settings`;
    return faultAt(input.timeUs, 'bad-line', text, 'warn');
  },
};
