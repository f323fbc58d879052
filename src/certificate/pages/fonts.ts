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

/** A font that pdfkit has opened for one document, behind its back. */
export interface OpenedFont {
  readonly id: string;
  readonly font: FontTables;
  readonly subset: FontSubset;
  /** Above and below the baseline, thousandths of the size; the descender is negative. */
  readonly ascender: number;
  readonly descender: number;
  layoutCache: Record<string, unknown>;
  layoutRun(text: string, features?: unknown): unknown;
  /** Codes of the glyphs as four hexadecimal digits each, and where they stand, in thousandths of the size. */
  encode(text: string): [readonly string[], readonly GlyphPosition[]];
  widthOfString(text: string, size: number): number;
  ref(): unknown;
}

interface GlyphPosition {
  readonly xAdvance: number;
  readonly advanceWidth: number;
  readonly xOffset: number;
  readonly yOffset: number;
}

interface FontTables {
  hasGlyphForCodePoint(codePoint: number): boolean;
}

interface FontSubset {
  readonly glyphs: readonly number[];
  encode(): Uint8Array;
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

/** The signs of a usual certificate, embedded in each, so that fonts and set lines are the same from paper to paper. */
const usualSigns = `${String.fromCharCode(...Array.from({ length: 95 }, (_, index) => 32 + index))} fi fl ffi –—±−·×…°²³µ„“”‘’ÄÖÜäöüßé\u00a0`;

const unusualSign = new RegExp(`[^${usualSigns.replace(/[\\\]^-]/g, '\\$&')}]`, 'u');

/** A cache of set words is dropped when it holds so many. */
const mostWords = 20_000;

/** What the documents of a process share of a font. */
interface SharedFont {
  readonly tables: FontTables;
  /** Set words, as pdfkit keeps them. */
  words: Record<string, unknown>;
  /** Lines of usual signs as operators; widths at size 1. */
  readonly lines: Map<string, string>;
  readonly widths: Map<string, number>;
  /** The font file with the usual signs, once it was made. */
  usualFile: Uint8Array | null;
}

const shared = new Map<FontName, SharedFont>();

/** A font of one document: measures lines and sets them. */
export class SetFont {
  readonly opened: OpenedFont;
  readonly #shared: SharedFont;
  readonly #usualGlyphs: number;

  constructor(opened: OpenedFont, known: SharedFont) {
    this.opened = opened;
    this.#shared = known;
    opened.encode(usualSigns);
    this.#usualGlyphs = opened.subset.glyphs.length;
    const encode = opened.subset.encode.bind(opened.subset);
    opened.subset.encode = () => {
      if (opened.subset.glyphs.length > this.#usualGlyphs) return encode();
      known.usualFile ??= encode();
      return known.usualFile;
    };
  }

  /** Width at a size of 1. */
  width(text: string): number {
    const { widths } = this.#shared;
    let width = widths.get(text);
    if (width === undefined) {
      if (widths.size > mostWords) widths.clear();
      width = this.opened.widthOfString(text, 1);
      widths.set(text, width);
    }
    return width;
  }

  /** The operator that shows a line of text; null where signs stand off the line and pdfkit has to set it. */
  shown(text: string): string | null {
    const { lines } = this.#shared;
    const known = lines.get(text);
    if (known !== undefined) return known;
    const [codes, positions] = this.opened.encode(text);
    if (positions.some(({ xOffset, yOffset }) => xOffset !== 0 || yOffset !== 0)) return null;
    let array = '';
    for (const [index, code] of codes.entries()) {
      const { xAdvance = 0, advanceWidth = 0 } = positions[index] ?? {};
      array += code;
      if (xAdvance !== advanceWidth && index < codes.length - 1)
        array += `> ${Math.round((advanceWidth - xAdvance) * 100) / 100} <`;
    }
    const line = `[<${array}>] TJ`;
    const areUsual = codes.every((code) => Number.parseInt(code, 16) < this.#usualGlyphs);
    if (areUsual) {
      if (lines.size > mostWords) lines.clear();
      lines.set(text, line);
    }
    return line;
  }
}

/**
 * Registers the embedded fonts. Reading a font's tables takes longer than all the rest of a page, so what was read
 * for the first document of a process serves the later ones.
 */
export function registerFonts(pdf: Pdf): Readonly<Record<FontName, SetFont>> {
  const open = (name: FontName): SetFont => {
    const known = shared.get(name);
    pdf.registerFont(fontNames[name], (known?.tables ?? fontFile(name)) as string);
    pdf.font(fontNames[name]);
    const opened = (pdf as unknown as { readonly _font: OpenedFont })._font;
    const layoutRun = opened.layoutRun.bind(opened);
    opened.layoutRun = (text, features) => layoutRun(text, features ?? (combining.test(text) ? undefined : notNeeded));
    const kept = known ?? {
      tables: opened.font,
      words: opened.layoutCache,
      lines: new Map<string, string>(),
      widths: new Map<string, number>(),
      usualFile: null,
    };
    if (Object.keys(kept.words).length > mostWords) kept.words = opened.layoutCache;
    opened.layoutCache = kept.words;
    shared.set(name, kept);
    return new SetFont(opened, kept);
  };
  return { regular: open('regular'), bold: open('bold') };
}

/** The first sign of a text that the fonts have no glyph for, or undefined. Call it after `registerFonts`. */
export function missingSign(text: string): string | undefined {
  if (!unusualSign.test(text)) return undefined;
  const tables = shared.get('regular')?.tables;
  return [...text].find((sign) => sign > ' ' && tables?.hasGlyphForCodePoint(sign.codePointAt(0) ?? 0) === false);
}
