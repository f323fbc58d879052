import type { PromptKey } from '../../holdtest/index.js';

/** The key of each act, and the word beside it. One place: help line, dialogues and tests read it from here. */
export const actKeys: Readonly<Record<PromptKey, { readonly key: string; readonly word: string }>> = {
  continue: { key: 'Enter', word: 'continue' },
  acknowledge: { key: 'a', word: 'acknowledge' },
  inspected: { key: 'i', word: 'inspected' },
  observation: { key: 'o', word: 'oil' },
  collected: { key: 'c', word: 'caught' },
  note: { key: 'n', word: 'note' },
  oil: { key: 't', word: 'figures' },
  'end-dwell': { key: 'e', word: 'end' },
  force: { key: 'f', word: 'force' },
  repeat: { key: 'r', word: 'repeat' },
  stop: { key: 's', word: 'stop' },
};

/** On a numeric pad or a foot switch: 0 and Enter are the same. */
const aliases: Readonly<Record<string, string>> = { return: 'Enter', enter: 'Enter', '0': 'Enter', space: 'Enter' };

/** The act of a pressed key among those offered now; null when it means nothing. */
export function actOfKey(name: string, offered: readonly PromptKey[]): PromptKey | null {
  const key = aliases[name] ?? name;
  return offered.find((act) => actKeys[act].key === key) ?? null;
}
