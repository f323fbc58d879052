import { changedKeys } from '../words/said.js';
import type { Words } from '../words/words.js';

/** Names what the shop words in its own way: a reader sees that the program did not choose it. Nothing else to say: none. */
export function ownWords(words: Words): readonly string[] {
  const keys = changedKeys(words.changes);
  return keys.length === 0 ? [] : [words.say('sentence.own-words', { keys: keys.join(', ') })];
}
