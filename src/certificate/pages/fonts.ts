import { createRequire } from 'node:module';
import type PDFDocument from 'pdfkit';

export type Pdf = InstanceType<typeof PDFDocument>;
export type FontName = 'regular' | 'bold';

/** Names follow the pattern that svg-to-pdfkit looks fonts up by. */
export const fontNames: Readonly<Record<FontName, string>> = { regular: 'IBM Plex Sans', bold: 'IBM Plex Sans-Bold' };

const fontFiles: Readonly<Record<FontName, string>> = {
  regular: '@expo-google-fonts/ibm-plex-sans/400Regular/IBMPlexSans_400Regular.ttf',
  bold: '@expo-google-fonts/ibm-plex-sans/600SemiBold/IBMPlexSans_600SemiBold.ttf',
};
const resolve = createRequire(import.meta.url).resolve;
export const fontFile = (name: FontName): string => resolve(fontFiles[name]);

/** The font that pdfkit has opened, behind its back: the parsed file and the words that were set in it. */
interface OpenedFont {
  readonly font: FontTables;
  layoutCache: Record<string, unknown>;
  layoutRun(text: string, features?: unknown): unknown;
}

interface FontTables {
  hasGlyphForCodePoint(codePoint: number): boolean;
}

/**
 * What a font would do for scripts and signs that are in no certificate, and looks for in every word: kerning and
 * ligatures are left, and words are set in two thirds of the time. Combining marks have the whole of it.
 */
const notNeeded = Object.fromEntries(
  ['mark', 'mkmk', 'ccmp', 'locl', 'rlig', 'calt', 'clig', 'rclt', 'frac', 'numr', 'dnom', 'rvrn', 'ltra', 'ltrm'].map(
    (feature) => [feature, false],
  ),
);
const combining = /\p{M}/u;

/** A cache of set words is dropped when it holds so many. */
const mostWords = 20_000;
const opened = new Map<FontName, OpenedFont>();

/**
 * Registers the embedded fonts. Reading a font's tables takes longer than all the rest of a page, so what was read
 * for the first document of a process serves the later ones; each still embeds its own subset.
 */
export function registerFonts(pdf: Pdf): void {
  for (const name of ['regular', 'bold'] as const) {
    const known = opened.get(name);
    pdf.registerFont(fontNames[name], (known?.font ?? fontFile(name)) as string);
    pdf.font(fontNames[name]);
    const current = (pdf as unknown as { readonly _font: OpenedFont })._font;
    if (known !== undefined && Object.keys(known.layoutCache).length < mostWords)
      current.layoutCache = known.layoutCache;
    const layoutRun = current.layoutRun.bind(current);
    current.layoutRun = (text, features) => layoutRun(text, features ?? (combining.test(text) ? undefined : notNeeded));
    opened.set(name, current);
  }
}

/** The first sign of a text that the fonts have no glyph for, or undefined. Call it after `registerFonts`. */
export function missingSign(text: string): string | undefined {
  const tables = opened.get('regular')?.font;
  return [...text].find((sign) => sign > ' ' && tables?.hasGlyphForCodePoint(sign.codePointAt(0) ?? 0) === false);
}
