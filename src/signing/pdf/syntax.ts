import { DwellmarkError } from '../../units/index.js';

/** Where a value stands in the file: from its first byte to the byte after its last. */
interface Span {
  readonly start: number;
  readonly end: number;
}

export type PdfDictionary = Span & { readonly kind: 'dictionary'; readonly entries: ReadonlyMap<string, PdfValue> };
type PdfArray = Span & { readonly kind: 'array'; readonly items: readonly PdfValue[] };
export type PdfString = Span & { readonly kind: 'string'; readonly bytes: Buffer; readonly hex: boolean };
type PdfReference = Span & { readonly kind: 'reference'; readonly id: number };

/** One value of PDF's object syntax (ISO 32000-1, 7.3). `word` is true, false or null. */
export type PdfValue =
  | PdfDictionary
  | PdfArray
  | PdfString
  | PdfReference
  | (Span & { readonly kind: 'number'; readonly value: number })
  | (Span & { readonly kind: 'name'; readonly value: string })
  | (Span & { readonly kind: 'word'; readonly value: string });

const deepest = 40;
const whitespace = new Set([0x00, 0x09, 0x0a, 0x0c, 0x0d, 0x20]);
const delimiters = new Set([...'()<>[]{}/%'].map((character) => character.charCodeAt(0)));
const escapes: Readonly<Record<string, string>> = { n: '\n', r: '\r', t: '\t', b: '\b', f: '\f' };

/** A PDF that is not as it was written. `at` is a byte offset. */
export function pdfFault(what: string, at?: number): DwellmarkError {
  const where = at === undefined ? '' : ` (byte ${at})`;
  return new DwellmarkError('altered', `this PDF can't be read: ${what}${where}`, {
    advice: 'Ask the sender for the file again, as it was first written.',
  });
}

/** Reads values from `at` on and moves along. Throws `altered` at anything that is not PDF syntax. */
export class PdfReader {
  readonly #bytes: Buffer;
  at: number;

  constructor(bytes: Buffer, at: number) {
    this.#bytes = bytes;
    this.at = at;
  }

  value(depth = 0): PdfValue {
    if (depth > deepest) throw pdfFault('values are nested too deep', this.at);
    this.skipBlank();
    const start = this.at;
    const byte = this.#bytes[start];
    if (byte === undefined) throw pdfFault('the file ends within a value', start);
    const character = String.fromCharCode(byte);
    if (character === '/') return { kind: 'name', value: this.#name(), start, end: this.at };
    if (character === '(') return { kind: 'string', bytes: this.#literal(), hex: false, start, end: this.at };
    if (character === '[') return { kind: 'array', items: this.#items(depth), start, end: this.at };
    if (this.#startsWith('<<')) return { kind: 'dictionary', entries: this.#entries(depth), start, end: this.at };
    if (character === '<') return { kind: 'string', bytes: this.#hex(), hex: true, start, end: this.at };
    return this.#plain(start);
  }

  /** Takes `word`, after blanks, or throws. */
  expect(word: string): void {
    this.skipBlank();
    if (!this.#startsWith(word)) throw pdfFault(`'${word}' is missing`, this.at);
    this.at += word.length;
  }

  /** Takes `word`, after blanks, if it is there. */
  takes(word: string): boolean {
    this.skipBlank();
    const there = this.#startsWith(word);
    if (there) this.at += word.length;
    return there;
  }

  skipBlank(): void {
    for (;;) {
      const byte = this.#bytes[this.at];
      if (byte === 0x25) this.#skipComment();
      else if (byte !== undefined && whitespace.has(byte)) this.at += 1;
      else return;
    }
  }

  #skipComment(): void {
    while (this.at < this.#bytes.length && this.#bytes[this.at] !== 0x0a && this.#bytes[this.at] !== 0x0d) this.at += 1;
  }

  #startsWith(word: string): boolean {
    return this.#bytes.toString('latin1', this.at, this.at + word.length) === word;
  }

  /** A run of regular characters: number, reference or word. */
  #plain(start: number): PdfValue {
    const text = this.#regular();
    if (text === 'true' || text === 'false' || text === 'null')
      return { kind: 'word', value: text, start, end: this.at };
    if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(text)) throw pdfFault(`'${text.slice(0, 20)}' is no value`, start);
    if (/^\d{1,10}$/.test(text)) {
      const end = this.at;
      const reference = /^\s+\d{1,5}\s+R(?![^\s()<>[\]{}/%])/.exec(this.#bytes.toString('latin1', end, end + 24));
      if (reference) {
        this.at = end + reference[0].length;
        return { kind: 'reference', id: Number(text), start, end: this.at };
      }
    }
    return { kind: 'number', value: Number(text), start, end: this.at };
  }

  #regular(): string {
    const start = this.at;
    for (;;) {
      const byte = this.#bytes[this.at];
      if (byte === undefined || whitespace.has(byte) || delimiters.has(byte)) break;
      this.at += 1;
    }
    return this.#bytes.toString('latin1', start, this.at);
  }

  #name(): string {
    this.at += 1;
    const code = (_: string, digits: string): string => String.fromCharCode(Number.parseInt(digits, 16));
    return this.#regular().replace(/#([0-9a-fA-F]{2})/g, code);
  }

  #items(depth: number): PdfValue[] {
    this.at += 1;
    const items: PdfValue[] = [];
    while (!this.takes(']')) items.push(this.value(depth + 1));
    return items;
  }

  #entries(depth: number): Map<string, PdfValue> {
    this.at += 2;
    const entries = new Map<string, PdfValue>();
    while (!this.takes('>>')) {
      const key = this.value(depth + 1);
      if (key.kind !== 'name') throw pdfFault('a dictionary key is no name', key.start);
      if (entries.has(key.value)) throw pdfFault(`/${key.value} stands twice in one dictionary`, key.start);
      entries.set(key.value, this.value(depth + 1));
    }
    return entries;
  }

  #hex(): Buffer {
    const close = this.#bytes.indexOf(0x3e, this.at);
    const digits = close < 0 ? '' : this.#bytes.toString('latin1', this.at + 1, close).replace(/\s/g, '');
    if (close < 0 || !/^[0-9a-fA-F]*$/.test(digits)) throw pdfFault('a hex string is broken', this.at);
    this.at = close + 1;
    return Buffer.from(digits.length % 2 === 0 ? digits : `${digits}0`, 'hex');
  }

  #literal(): Buffer {
    const start = this.at;
    const bytes: number[] = [];
    this.at += 1;
    for (let open = 1; ; ) {
      const byte = this.#bytes[this.at];
      if (byte === undefined) throw pdfFault('a string has no end', start);
      this.at += 1;
      if (byte === 0x5c) {
        bytes.push(...this.#escaped());
        continue;
      }
      if (byte === 0x28) open += 1;
      if (byte === 0x29) open -= 1;
      if (open === 0) return Buffer.from(bytes);
      bytes.push(byte);
    }
  }

  /** What follows a backslash: a letter, up to three octal digits, a line end (nothing), or the character itself. */
  #escaped(): number[] {
    const octal = /^[0-7]{1,3}/.exec(this.#bytes.toString('latin1', this.at, this.at + 3));
    if (octal) {
      this.at += octal[0].length;
      return [Number.parseInt(octal[0], 8) & 0xff];
    }
    const character = String.fromCharCode(this.#bytes[this.at] ?? 0);
    this.at += 1;
    if (character === '\r' && this.#bytes[this.at] === 0x0a) this.at += 1;
    if (character === '\r' || character === '\n') return [];
    return [(escapes[character] ?? character).charCodeAt(0)];
  }
}
