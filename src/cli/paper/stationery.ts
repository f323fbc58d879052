import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { type Shop, softwareVersion } from '../../bench/index.js';
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

/** SHA-256 of the files, or `as shipped`, or `none`; and the program that set the paper. */
export type Fingerprints = Readonly<Record<'layout' | 'words' | 'logo' | 'program', string>>;

/**
 * Reads the shop's own `templates/certificate/layout.toml` and language file beside its shop file, where there are
 * some, and its logo.
 * @throws DwellmarkError (`input`) for a file that can't be read, naming file and key.
 */
export function stationeryOf(shop: Shop, language: Language): Stationery {
  const layout = ownFile(shop, 'layout.toml');
  const words = ownFile(shop, `${language}.toml`);
  const logo = shop.logo === null ? undefined : logoOf(shop.logo);
  return {
    layout: layout && parseLayout(layout.text, layout.file),
    words: words && parseWords(words.text, language, words.file),
    logo,
    fingerprints: {
      layout: layout ? sha256Hex(layout.text) : 'as shipped',
      words: words ? sha256Hex(words.text) : 'as shipped',
      logo: logo ? sha256Hex(logo) : 'none',
      program: softwareVersion,
    },
  };
}

function ownFile(shop: Shop, name: string): { readonly file: string; readonly text: string } | undefined {
  const file = path.join(shop.folder, 'templates', 'certificate', name);
  return existsSync(file) ? { file, text: readFileSync(file, 'utf8') } : undefined;
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
