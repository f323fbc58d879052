import { readFileSync } from 'node:fs';
import { parse } from 'smol-toml';
import { z } from 'zod';
import { DwellmarkError } from '../../units/index.js';
import type { Language } from '../input.js';
import { templateFile } from './template-file.js';
import { type WordKey, wordKeys } from './word-keys.js';

/** The texts of one language, read from its file in `templates/certificate`. */
export interface Words {
  readonly language: string;
  /** The text of a key with its `{name}`s filled in. */
  say(key: WordKey, values?: Readonly<Record<string, string | number>>): string;
  /** A word of the trade (a part, a leak point, a position) in this language; itself when it is not listed. */
  term(word: string): string;
}

const languageFile = z.record(z.string(), z.record(z.string(), z.string()));

/**
 * Reads a language file.
 * @throws DwellmarkError `input` when it is no TOML, misses a text, or has one that nothing prints.
 */
export function parseWords(text: string, language: string, file = `${language}.toml`): Words {
  const sections = readSections(text, file);
  const terms = sections.term ?? {};
  const texts = new Map<string, string>();
  for (const [section, entries] of Object.entries(sections))
    if (section !== 'term') for (const [key, value] of Object.entries(entries)) texts.set(`${section}.${key}`, value);
  const known = new Set(
    Object.entries(wordKeys).flatMap(([section, keys]) => keys.map((key: string) => `${section}.${key}`)),
  );
  for (const key of known)
    if (!texts.has(key))
      throw new DwellmarkError('input', `the language file has no text for ${key}`, { place: { file, key } });
  for (const key of texts.keys())
    if (!known.has(key))
      throw new DwellmarkError('input', `${key} is not a text of the certificate`, { place: { file, key } });
  return {
    language,
    say: (key, values = {}) =>
      (texts.get(key) ?? key).replace(/\{(\w+)\}/g, (whole, name: string) =>
        Object.hasOwn(values, name) ? String(values[name]) : whole,
      ),
    term: (word) => terms[word] ?? word,
  };
}

function readSections(text: string, file: string): Record<string, Record<string, string>> {
  try {
    return languageFile.parse(parse(text));
  } catch (error) {
    throw new DwellmarkError('input', `the language file can't be read: ${(error as Error).message.split('\n')[0]}`, {
      place: { file },
      cause: error,
    });
  }
}

const shipped = new Map<Language, Words>();

/** The texts as they are shipped; read once. */
export function shippedWords(language: Language): Words {
  const known = shipped.get(language);
  if (known) return known;
  const file = templateFile(`${language}.toml`);
  const words = parseWords(readFileSync(file, 'utf8'), language, file);
  shipped.set(language, words);
  return words;
}
