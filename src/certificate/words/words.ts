import { readFileSync } from 'node:fs';
import { parse } from 'smol-toml';
import { z } from 'zod';
import { DwellmarkError } from '../../units/index.js';
import type { Language } from '../input.js';
import { type Words, wordsFrom } from './said.js';
import { templateFile } from './template-file.js';
import { wordKeys } from './word-keys.js';

export type { Words } from './said.js';

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
  return wordsFrom({ language, said: Object.fromEntries(texts), terms });
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
