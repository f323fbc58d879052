import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { type Shop, shippedTemplates, softwareVersion } from '../../bench/index.js';
import { type CertificateLayout, type Language, parseLayout, parseWords, type Words } from '../../certificate/index.js';
import { sha256Hex } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';

/** What a shop puts on its papers, and the fingerprints by which a later rendering knows it again. */
export interface Stationery {
  readonly layout: CertificateLayout | undefined;
  readonly words: Words | undefined;
  readonly logo: Uint8Array | undefined;
  readonly fingerprints: Fingerprints;
}

/** SHA-256 of the files that were used, the shipped ones included, or `none`; and the program that set the paper. */
export type Fingerprints = Readonly<Record<'layout' | 'words' | 'logo' | 'program', string>>;

/**
 * Reads the shop's own `templates/certificate/layout.toml` and language file beside its shop file, where there are
 * some, and its logo.
 * @throws DwellmarkError (`input`) for a file that can't be read, naming file and key.
 */
export function stationeryOf(shop: Shop, language: Language): Stationery {
  const layout = fileInUse(shop, 'layout.toml');
  const words = fileInUse(shop, `${language}.toml`);
  const logo = shop.logo === null ? undefined : logoOf(shop.logo);
  return {
    layout: layout.own ? parseLayout(layout.text, layout.file) : undefined,
    words: words.own ? parseWords(words.text, language, words.file) : undefined,
    logo,
    fingerprints: {
      layout: sha256Hex(layout.text),
      words: sha256Hex(words.text),
      logo: logo ? sha256Hex(logo) : 'none',
      program: softwareVersion,
    },
  };
}

/** The shop's own file, else the shipped one. */
function fileInUse(shop: Shop, name: string): { readonly file: string; readonly text: string; readonly own: boolean } {
  const place = path.join('certificate', name);
  const own = path.join(shop.folder, 'templates', place);
  const file = existsSync(own) ? own : path.join(shippedTemplates, place);
  return { file, text: readFileSync(file, 'utf8'), own: file === own };
}

function logoOf(file: string): Buffer {
  try {
    return readFileSync(file);
  } catch (cause) {
    throw new DwellmarkError('input', "the logo can't be read", {
      place: { file, key: 'logo' },
      advice: 'Correct `logo` in the shop file, or take it out.',
      cause,
    });
  }
}
