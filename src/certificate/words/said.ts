import type { WordKey } from './word-keys.js';

/** The texts of one language. */
export interface Words {
  readonly language: string;
  /** Every text by `section.key`, and the words of the trade: all that {@link wordsFrom} needs. */
  readonly texts: WordTexts;
  /** The text of a key with its `{name}`s filled in. */
  say(key: WordKey, values?: Readonly<Record<string, string | number>>): string;
  /** A word of the trade (a part, a leak point, a position) in this language; itself when it is not listed. */
  term(word: string): string;
}

/** Plain data, to be kept beside what was written with it. */
export interface WordTexts {
  readonly language: string;
  readonly said: Readonly<Record<string, string>>;
  readonly terms: Readonly<Record<string, string>>;
}

/** The words of texts that were read before. */
export function wordsFrom(texts: WordTexts): Words {
  const { language, said, terms } = texts;
  return {
    language,
    texts,
    say: (key, values = {}) =>
      (said[key] ?? key).replace(/\{(\w+)\}/g, (whole, name: string) =>
        Object.hasOwn(values, name) ? String(values[name]) : whole,
      ),
    term: (word) => (Object.hasOwn(terms, word) ? (terms[word] ?? word) : word),
  };
}
