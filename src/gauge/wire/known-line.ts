import type { LineGrammar } from './line-decoder.js';
import { type LinePart, templatePieces } from './line-pattern.js';

const channels = ['pressure', 'opposite', 'oil', 'elapsed'] as const satisfies readonly LinePart[];
const [pressure, opposite, oil, elapsed] = [0, 1, 2, 3] as const;

/** A number in the line: its digits from one letter to another, save its decimal sign. */
interface Digits {
  readonly channel: number;
  readonly from: number;
  readonly to: number;
  /** Where the decimal sign stands; -1 for none. */
  readonly pointAt: number;
  /** What the digits are divided by; negative behind a minus sign. */
  readonly divisor: number;
}

/** With no more digits than this the whole number and the power of ten are exact, and so is their quotient's rounding. */
const mostDigits = 15;
const powers = Array.from({ length: mostDigits + 1 }, (_, index) => 10 ** index);
const [minus, zero] = [45, 48];

/**
 * Remembers a good line of a gauge, and reads the next one quickly when it differs in nothing but the digits of its
 * numbers, as nearly all do. Theory of operation: the pattern's regular expression takes every digit for the same in
 * its numbers, and no digit stands in the pattern behind a part that it could be taken for; so a line with other digits
 * in the same places is cut into the same parts. Whatever else comes is left to the grammar, and remembered anew.
 */
export class KnownLine {
  readonly #shape: RegExp;
  readonly #decimal: number;
  /** The line's letters; at the places of digits they are of no account. */
  #codes: readonly number[] = [];
  #numbers: readonly Digits[] = [];
  readonly #values = new Float64Array(channels.length);

  private constructor({ pattern, decimal }: LineGrammar) {
    this.#shape = new RegExp(pattern.shape.source, `${pattern.shape.flags}d`);
    this.#decimal = decimal.charCodeAt(0);
  }

  /** Null when the lines of a grammar say more in their digits than numbers. */
  static of(grammar: LineGrammar): KnownLine | null {
    const { pattern, settings } = grammar;
    if (pattern.source.startsWith('/') || (settings.noValueNumbers ?? []).length > 0) return null;
    const telling = ['checksum', 'serial', 'address'] as const;
    if (telling.some((part) => pattern.parts.has(part))) return null;
    const pieces = templatePieces(pattern.source);
    for (const [index, piece] of pieces.entries()) {
      if ('text' in piece && index > 0 && /\d/.test(piece.text)) return null;
      const next = pieces[index + 1];
      // Where a unit ends is plain only before a blank: it may end in a digit.
      const unit = 'name' in piece && (piece.name === 'unit' || piece.name === 'oil_unit');
      if (unit && next && !('text' in next && /^[ \t]/.test(next.text))) return null;
    }
    return new KnownLine(grammar);
  }

  /**
   * Remembers a line that the grammar has just read without any trouble.
   * @param raw with the carriage return that may end it
   */
  learn(raw: string): void {
    this.#codes = [];
    const groups = plain.test(raw) ? this.#shape.exec(raw.replace('\r', ''))?.indices?.groups : undefined;
    if (!groups) return;
    const numbers: Digits[] = [];
    for (const [channel, name] of channels.entries()) {
      const place = groups[name];
      if (!place) continue;
      const digits = this.#digitsOf(raw, channel, place);
      if (!digits) return;
      numbers.push(digits);
    }
    this.#numbers = numbers.sort((a, b) => a.from - b.from);
    this.#values.fill(Number.NaN);
    this.#codes = Array.from(raw, (letter) => letter.charCodeAt(0));
  }

  /** Whether a line is like the known one, and was read; otherwise ask the grammar. */
  reads(line: string): boolean {
    const codes = this.#codes;
    if (line.length !== codes.length || codes.length === 0) return false;
    let at = 0;
    for (const { channel, from, to, pointAt, divisor } of this.#numbers) {
      for (; at < from; at += 1) if (line.charCodeAt(at) !== codes[at]) return false;
      let value = 0;
      for (; at < to; at += 1) {
        const code = line.charCodeAt(at);
        if (at === pointAt) {
          if (code !== this.#decimal) return false;
          continue;
        }
        const digit = code - zero;
        if (digit < 0 || digit > 9) return false;
        value = 10 * value + digit;
      }
      this.#values[channel] = value / divisor;
    }
    for (; at < codes.length; at += 1) if (line.charCodeAt(at) !== codes[at]) return false;
    return true;
  }

  /** Numbers of the line read last, as they stood there; NaN for one that the line has not. */
  get pressure(): number {
    return this.#values[pressure] as number;
  }

  get opposite(): number {
    return this.#values[opposite] as number;
  }

  get oil(): number {
    return this.#values[oil] as number;
  }

  /** Seconds. */
  get elapsed(): number {
    return this.#values[elapsed] as number;
  }

  /** Undefined for a number with an exponent, or with more digits than are exact. */
  #digitsOf(line: string, channel: number, [start, to]: readonly [number, number]): Digits | undefined {
    const text = line.slice(start, to);
    const match = /^[+-]?[ ]*(\d*)([.,]?)(\d*)$/.exec(text);
    if (!match) return undefined;
    const [, whole = '', point = '', decimals = ''] = match;
    const divisor = powers[decimals.length];
    if (divisor === undefined || whole.length + decimals.length > mostDigits) return undefined;
    const from = to - whole.length - point.length - decimals.length;
    return {
      channel,
      from,
      to,
      pointAt: point === '' ? -1 : from + whole.length,
      divisor: text.charCodeAt(0) === minus ? -divisor : divisor,
    };
  }
}

/** Lines of printable ASCII and tabs are read as they stand; the reader keeps no more of a raw line than this. */
const plain = /^[\t\x20-\x7e]{1,120}\r?$/;
