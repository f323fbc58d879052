import { existsSync } from 'node:fs';
import path from 'node:path';
import { type Shop, shippedTemplates } from '../../bench/index.js';
import {
  changedKeys,
  type Language,
  parseLayout,
  parseWords,
  setWith,
  shippedWords,
  type Words,
} from '../../certificate/index.js';
import { fileLimits, readGivenFile, readGivenText, sha256Hex } from '../../record/index.js';

/** What a shop puts on its papers, and the fingerprints by which a later rendering knows it again. */
export interface Stationery {
  /** The shop's own layout file, as text. */
  readonly layout: string | undefined;
  readonly words: Words;
  readonly logo: Buffer | undefined;
  readonly fingerprints: Fingerprints;
}

/**
 * SHA-256 of the files that were used, the shipped ones included, or `none`; the program that set the paper; and the
 * texts that the shop words in its own way, by their keys.
 */
export type Fingerprints = Readonly<Record<'layout' | 'words' | 'logo' | 'program' | 'ownWords', string>>;

/**
 * Reads the shop's own `templates/certificate/layout.toml` and language file beside its shop file, where there are
 * some, and its logo.
 * @throws DwellmarkError (`input`) for a file that can't be read, naming file and key.
 */
export function stationeryOf(shop: Shop, language: Language): Stationery {
  const layout = fileInUse(shop, 'layout.toml');
  const words = fileInUse(shop, `${language}.toml`);
  const logo = shop.logo === null ? undefined : logoOf(shop.logo);
  if (layout.own) parseLayout(layout.text, layout.file);
  const said = words.own ? parseWords(words.text, language, words.file) : shippedWords(language);
  return {
    layout: layout.own ? layout.text : undefined,
    words: said,
    logo,
    fingerprints: {
      layout: sha256Hex(layout.text),
      words: sha256Hex(words.text),
      logo: logo ? sha256Hex(logo) : 'none',
      program: setWith(),
      ownWords: changedKeys(said.changes).join(', ') || 'none',
    },
  };
}

/** The shop's own file, else the shipped one. */
function fileInUse(shop: Shop, name: string): { readonly file: string; readonly text: string; readonly own: boolean } {
  const place = path.join('certificate', name);
  const own = path.join(shop.folder, 'templates', place);
  const file = existsSync(own) ? own : path.join(shippedTemplates, place);
  const what = name === 'layout.toml' ? 'layout file' : 'language file';
  return { file, text: readGivenText(file, { what, most: fileLimits.text }), own: file === own };
}

const logoOf = (file: string): Buffer => readGivenFile(file, { what: 'logo', most: fileLimits.picture, key: 'logo' });
