import type { PromptKey } from '../../holdtest/index.js';
import type { KeyHelp } from './key-help.js';

interface ActKey {
  readonly key: string;
  /** The same on a numeric pad. */
  readonly pad: string;
  readonly word: string;
  /** What it does, for the list of keys. */
  readonly does: string;
}

/** The key of each act, and the word beside it. One place: key line, list of keys, dialogues and tests read it here. */
export const actKeys: Readonly<Record<PromptKey, ActKey>> = {
  continue: { key: 'Enter', pad: '0', word: 'continue', does: 'done what was asked; go on' },
  acknowledge: { key: 'a', pad: '6', word: 'acknowledge', does: 'the alarm has been seen' },
  inspected: { key: 'i', pad: '1', word: 'inspected', does: 'every point has been looked at' },
  observation: { key: 'o', pad: '2', word: 'oil', does: 'oil seen: where, and how much' },
  collected: { key: 'c', pad: '3', word: 'caught', does: 'oil caught at the open port: how much, in how long' },
  note: { key: 'n', pad: '4', word: 'note', does: 'a note, in your own words or a usual one' },
  oil: { key: 't', pad: '5', word: 'figures', does: 'figures read by hand: oil temperature, strokes, oil pumped in' },
  'end-dwell': { key: 'e', pad: '9', word: 'end', does: 'end the dwell before its time; it can then not pass' },
  force: { key: 'f', pad: '8', word: 'force', does: 'force the next phase; the record says so' },
  repeat: { key: 'r', pad: '7', word: 'repeat', does: 'test a port again; every attempt stays' },
  stop: { key: 's', pad: '.', word: 'stop', does: 'stop the test, with a reason (Ctrl-C too)' },
};

/** The list of keys: what means something now, and what always does. */
export const helpOf = (offered: readonly PromptKey[]): readonly KeyHelp[] => [
  ...offered.map((act): KeyHelp => [`${actKeys[act].key} or ${actKeys[act].pad}`, actKeys[act].does]),
  ['m or -', 'the bell off, or on again'],
  ['? or *', 'this list'],
  ['Esc or /', 'leaves a question without an answer'],
];

/** The act of a pressed key among those offered now; null when it means nothing. */
export function actOfKey(name: string, offered: readonly PromptKey[]): PromptKey | null {
  const key = name === 'return' || name === 'enter' ? 'Enter' : name;
  return offered.find((act) => actKeys[act].key === key || actKeys[act].pad === key) ?? null;
}
