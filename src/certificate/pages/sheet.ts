import type { TypeMeasure } from '../chart/vector-drawing.js';
import { type FontName, fontNames, type Pdf, registerFonts, type SetFont } from './fonts.js';
import type { CertificateLayout } from './layout.js';

/** An element of the structure that a screen reader follows. */
export type Tag = ReturnType<Pdf['struct']>;

export const ink = '#1b1f24';
export const quiet = '#5b626b';
export const hairline = '#c3c8ce';

export interface TextStyle {
  readonly font?: FontName;
  readonly size?: number;
  readonly colour?: string;
}

/** A page being written on: text in the embedded font, rules, and the structure behind them. Measures are points. */
export class Sheet {
  readonly pdf: Pdf;
  readonly layout: CertificateLayout;
  readonly accent: string;
  readonly #root: Tag;
  readonly #fonts: Readonly<Record<FontName, SetFont>>;

  constructor(pdf: Pdf, layout: CertificateLayout, accent: string) {
    this.pdf = pdf;
    this.layout = layout;
    this.accent = accent;
    this.#fonts = registerFonts(pdf);
    this.#root = pdf.struct('Document');
    pdf.addStructure(this.#root);
  }

  get body(): number {
    return this.layout.type.body;
  }

  get small(): number {
    return this.layout.type.small;
  }

  lineHeight(size = this.body): number {
    return size * this.layout.type.line;
  }

  width(text: string, style: TextStyle = {}): number {
    return this.#fonts[style.font ?? 'regular'].width(text) * (style.size ?? this.body);
  }

  /** The font that the texts of a chart are set in. */
  get measure(): TypeMeasure {
    const { opened } = this.#fonts.regular;
    return {
      width: (text, size) => this.width(text, { size }),
      ascent: opened.ascender / 1000,
      descent: -opened.descender / 1000,
    };
  }

  /** Breaks a text into lines that fit; never at a no-break space, within a word only when the word alone is too wide. */
  wrap(text: string, width: number, style: TextStyle = {}): readonly string[] {
    const lines: string[] = [];
    const space = this.width(' ', style);
    for (const paragraph of text.split('\n')) {
      let line = '';
      let used = 0;
      for (const word of paragraph.split(' ').flatMap((whole) => this.#pieces(whole, width, style))) {
        const own = this.width(`${word} `, style);
        if (line !== '' && used + own - space > width) {
          lines.push(line);
          line = '';
          used = 0;
        }
        line = line === '' ? word : `${line} ${word}`;
        used += own;
      }
      lines.push(line);
    }
    return lines;
  }

  /** No sign is wider than 1.2 of the size, so that a short word need not be measured. */
  /** A long number goes over to the next line behind one of its hyphens or strokes, where that is not too early. */
  #pieces(word: string, width: number, style: TextStyle): readonly string[] {
    if (word.length * 1.2 * (style.size ?? this.body) <= width || this.width(word, style) <= width) return [word];
    const pieces: string[] = [];
    let piece = '';
    for (const sign of word) {
      if (piece !== '' && this.width(piece + sign, style) > width) {
        const end = piece.search(/[-/_.:][^-/_.:]*$/) + 1;
        const cut = end > piece.length / 3 ? end : piece.length;
        pieces.push(piece.slice(0, cut));
        piece = piece.slice(cut);
      }
      piece += sign;
    }
    return [...pieces, piece];
  }

  /** One line of text; `y` is the top of the line. */
  write(text: string, x: number, y: number, style: TextStyle = {}): void {
    const { ascender } = this.#fonts[style.font ?? 'regular'].opened;
    this.writeOn(text, x, y + (ascender / 1000) * (style.size ?? this.body), style);
  }

  /** One line of text; `baseline` is measured downwards as everything here is, so the glyphs are turned upright. */
  writeOn(text: string, x: number, baseline: number, style: TextStyle = {}): void {
    if (text === '') return;
    const { font = 'regular', size = this.body, colour = ink } = style;
    const set = this.#fonts[font];
    // A blank behind each piece: whoever reads aloud or copies gets words apart that only stand apart on the page.
    const piece = `${text} `;
    const shown = set.shown(piece);
    if (shown === null) {
      const options = { lineBreak: false, baseline: 'alphabetic' } as const;
      this.pdf.font(fontNames[font]).fontSize(size).fillColor(colour).text(piece, x, baseline, options);
      return;
    }
    const { fonts } = this.pdf.page as unknown as { readonly fonts: Record<string, unknown> };
    fonts[set.opened.id] ??= set.opened.ref();
    const place = `1 0 0 -1 ${rounded(x)} ${rounded(baseline)} Tm`;
    this.pdf.addContent(`${fillOperator(colour)}\nBT\n${place}\n/${set.opened.id} ${rounded(size)} Tf\n${shown}\nET`);
  }

  writeRight(text: string, right: number, y: number, style: TextStyle = {}): void {
    this.write(text, right - this.width(text, style), y, style);
  }

  rule(x: number, y: number, width: number, weight = 0.5, colour = hairline): void {
    const [left, right, at] = [x, x + width, y].map(rounded);
    const line = `${fillOperator(colour).toUpperCase()} ${rounded(weight)} w ${left} ${at} m ${right} ${at} l S`;
    this.artifact(() => this.pdf.addContent(line));
  }

  /** A piece of a line with its dashes, as a legend shows it. */
  line(
    x: number,
    y: number,
    length: number,
    style: { readonly colour: string; readonly width: number; readonly dash: readonly number[] },
  ): void {
    const [left, right, at] = [x, x + length, y].map(rounded);
    const pen = `${fillOperator(style.colour).toUpperCase()} ${style.width} w [${style.dash.join(' ')}] 0 d`;
    this.pdf.addContent(`${pen} ${left} ${at} m ${right} ${at} l S [] 0 d`);
  }

  /** Adds an element to the structure; what `draw` writes belongs to it. */
  tag(type: string, draw: () => void, options: { readonly alt?: string; readonly title?: string } = {}): void {
    this.#root.add(this.pdf.struct(type, options, [draw]));
  }

  /** An element whose children come one by one (a table and its rows). */
  branch(type: string, parent: Tag = this.#root): Tag {
    const element = this.pdf.struct(type);
    parent.add(element);
    return element;
  }

  leaf(type: string, parent: Tag, draw: () => void, scope?: 'Row' | 'Column'): void {
    parent.add(this.pdf.struct(type, scope === undefined ? {} : ({ scope } as object), [draw]));
  }

  /** Drawing that says nothing: rules, boxes, marks repeated on each page. */
  artifact(draw: () => void): void {
    this.pdf.markContent('Artifact', { type: 'Layout' });
    draw();
    this.pdf.endMarkedContent();
  }

  endStructure(): void {
    this.#root.end();
  }
}

const rounded = (points: number): number => Math.round(points * 1000) / 1000;

const fillOperators = new Map<string, string>();

/** `#rrggbb` as the operator that fills with it; in capitals, the one that strokes with it. */
export function fillOperator(colour: string): string {
  let operator = fillOperators.get(colour);
  if (operator === undefined) {
    const parts = [1, 3, 5].map((start) => Number.parseInt(colour.slice(start, start + 2), 16) / 255);
    operator = `${parts.map(rounded).join(' ')} rg`;
    fillOperators.set(colour, operator);
  }
  return operator;
}
