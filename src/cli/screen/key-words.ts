import type { Shop } from '../../bench/index.js';
import type { PromptKey } from '../../holdtest/index.js';
import { DwellmarkError } from '../../units/index.js';
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
  'take-back': { key: 'u', pad: '+', word: 'undo', does: 'take back an entry that was wrong; both stay in the record' },
  stop: { key: 's', pad: '.', word: 'stop', does: 'stop the test, with a reason (Ctrl-C too)' },
};

/** The list of keys: what means something now, and what always does. */
export const helpOf = (offered: readonly PromptKey[]): readonly KeyHelp[] => [
  ...offered.map((act): KeyHelp => [`${actKeys[act].key} or ${actKeys[act].pad}`, actKeys[act].does]),
  ['m or -', 'the sounds off, or on again'],
  ['? or *', 'this list'],
  ['Esc or /', 'leaves a question without an answer'],
];

/** What more keys of a shop do: of a foot switch, a keypad, or the text of a card that is scanned. */
export type KeyMap = ReadonlyMap<string, PromptKey>;

/** The act of a pressed key, or of a scanned text, among those offered now; null when it means nothing. */
export function actOfKey(name: string, offered: readonly PromptKey[], more: KeyMap = new Map()): PromptKey | null {
  const key = name === 'return' || name === 'enter' ? 'Enter' : name;
  const act = more.get(key);
  if (act !== undefined) return offered.includes(act) ? act : null;
  return offered.find((one) => actKeys[one].key === key || actKeys[one].pad === key) ?? null;
}

/** Keys without a sign of their own, as a person names them; the terminal's name is the same in small letters. */
const namedKey = /^(F([1-9]|1[0-2])|PageUp|PageDown|Home|End|Insert|Delete|Space|Tab)$/i;
const alwaysTaken = ['m', '-', '?', '*', 'h', '/', 'y'];

/**
 * A shop's own keys, `[keymap]` of the shop file.
 * @throws DwellmarkError (`input`) naming the key that can't be: none that there is, or one that means something already.
 */
export function keyMapOf({ file, keymap }: Pick<Shop, 'file' | 'keymap'>): KeyMap {
  const acts = Object.keys(actKeys) as PromptKey[];
  const taken = new Set([...alwaysTaken, ...acts.flatMap((act) => [actKeys[act].key, actKeys[act].pad])]);
  return new Map(
    Object.entries(keymap).map(([name, word]) => {
      const place = { file, key: `keymap.${name}` };
      const act = acts.find((one) => actKeys[one].word === word);
      if (act === undefined)
        throw new DwellmarkError('input', `nothing at the bench is called "${word}"`, {
          place,
          advice: `Known: ${acts.map((one) => actKeys[one].word).join(', ')}.`,
        });
      if (taken.has(name))
        throw new DwellmarkError('input', `the key ${name} has a meaning already`, {
          place,
          advice: 'Take another key for it.',
        });
      const sign = [...name].length === 1;
      if (!sign && !namedKey.test(name) && [...name].length < 4)
        throw new DwellmarkError('input', `there is no key "${name}"`, {
          place,
          advice:
            'One letter or figure, F1 to F12, PageUp, PageDown, Home, End, Insert, Delete, Space, Tab, or a text to scan (4 letters or more).',
        });
      return [namedKey.test(name) ? name.toLowerCase() : name, act] as const;
    }),
  );
}
