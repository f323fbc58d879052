import { readFileSync } from 'node:fs';
import { parse } from 'smol-toml';
import { z } from 'zod';
import { DwellmarkError } from '../../units/index.js';
import { type Language, languages } from '../input.js';
import { noChanges, type ShippedTexts, type Words, type WordTexts, wordingFault, wordsFrom } from './said.js';
import { templateFile } from './template-file.js';
import { wordKeys } from './word-keys.js';

export type { Words } from './said.js';

const languageFile = z.record(z.string(), z.record(z.string(), z.string()));

/**
 * Reads a shop's language file: what it leaves out, or words as the program does, is in the words of the program.
 * @throws DwellmarkError `input` when it is no TOML, has a text that nothing prints, or words what is not a shop's to
 *   word: the verdict, the title, a mark.
 */
export function parseWords(text: string, language: Language, file = `${language}.toml`): Words {
  const shipped = shippedTexts();
  const own = readTexts(text, file);
  const changed = (texts: WordTexts['said'], lead: string): Record<string, string> => {
    const kept: Record<string, string> = {};
    for (const [key, value] of Object.entries(texts)) {
      const fault = wordingFault(shipped, language, lead + key, value);
      if (fault !== null)
        throw new DwellmarkError('input', `${lead}${key} ${fault}`, {
          place: { file, key: lead + key },
          advice: 'Take the line out of the language file, or put back the words as they were shipped.',
        });
      const { said, terms } = shipped[language];
      if (value !== (lead === '' ? said[key] : terms[key])) kept[key] = value;
    }
    return kept;
  };
  return wordsFrom(shipped, language, { said: changed(own.said, ''), terms: changed(own.terms, 'term.') });
}

function readTexts(text: string, file: string): WordTexts {
  const { term: terms = {}, ...sections } = readSections(text, file);
  const said = Object.entries(sections).flatMap(([section, entries]) =>
    Object.entries(entries).map(([key, value]) => [`${section}.${key}`, value] as const),
  );
  return { said: Object.fromEntries(said), terms };
}

function readSections(text: string, file: string): Record<string, Record<string, string>> {
  let table: unknown;
  try {
    table = parse(text);
  } catch (cause) {
    const [why] = (cause as Error).message.split('\n');
    throw new DwellmarkError('input', `the language file is no TOML: ${why}`, { place: { file }, cause });
  }
  const form = languageFile.safeParse(table);
  if (form.success) return form.data;
  throw new DwellmarkError('input', 'this is no text of a section', {
    place: { file, key: form.error.issues[0]?.path.join('.') ?? '' },
    advice: 'Write texts below a section: [label], then customer = "Owner".',
    cause: form.error,
  });
}

let shipped: ShippedTexts | undefined;

/** The texts as they are shipped, in every language; read once. */
export function shippedTexts(): ShippedTexts {
  shipped ??= Object.fromEntries(languages.map((language) => [language, shippedIn(language)])) as Record<
    Language,
    WordTexts
  >;
  return shipped;
}

/** @throws DwellmarkError `input` when the shipped file misses a text. */
function shippedIn(language: Language): WordTexts {
  const file = templateFile(`${language}.toml`);
  const texts = readTexts(readFileSync(file, 'utf8'), file);
  const known = Object.entries(wordKeys).flatMap(([section, keys]) => keys.map((key: string) => `${section}.${key}`));
  const missing = known.find((key) => texts.said[key] === undefined);
  const extra = Object.keys(texts.said).find((key) => !known.includes(key));
  if (missing !== undefined || extra !== undefined)
    throw new DwellmarkError('input', `${missing ?? extra} is missing or too much`, { place: { file } });
  return texts;
}

/** The words as they are shipped. */
export const shippedWords = (language: Language): Words => wordsFrom(shippedTexts(), language, noChanges);
