import { type LinePart, templatePieces } from './line-pattern.js';
import type { DecimalSign } from './number.js';
import { readStatus, type StatusName } from './status-word.js';
import { readPressureUnit, readTemperatureUnit, unitSource } from './wire-unit.js';

/** What a quick reading must know of a grammar. */
export interface QuickSettings {
  readonly template: string;
  readonly decimal: DecimalSign;
  readonly unitName: string;
  readonly oilUnitName: string;
  readonly status: Readonly<Record<string, StatusName>> | undefined;
}

const channels = ['pressure', 'opposite', 'oil', 'elapsed'] as const satisfies readonly LinePart[];
type Channel = (typeof channels)[number];

/** One thing a line must show next. All of one shape, and the words met last are remembered: this is every line's way. */
interface Step {
  readonly kind: 'blanks' | 'letter' | 'number' | 'unit' | 'status' | 'skip';
  /** A letter, in lower case. */
  readonly code: number;
  /** Index of {@link channels}. */
  readonly channel: number;
  readonly means: (word: string) => boolean;
  known: string;
}

const [tab, blank, comma, minus, plus, point, semicolon] = [9, 32, 44, 45, 43, 46, 59];
/** With no more digits than this the whole number and the power of ten are exact, and so is their quotient's rounding. */
const mostDigits = 15;
const powers = Array.from({ length: mostDigits + 1 }, (_, index) => 10 ** index);

/**
 * Reads the good lines of a plain template letter by letter: numbers with a value, the unit that was set, a status that
 * means well. Theory of operation: at each step it takes what the pattern's regular expression would try first, and
 * gives up when that does not lead to the end; whatever it gives up is read by the strict grammar. So it can read less
 * than the grammar, and nothing else.
 */
export class QuickLine {
  readonly #steps: readonly Step[];
  readonly #decimal: number;
  readonly #otherDecimal: number;
  /** Numbers of the line read last; NaN for a channel that the template has not. */
  readonly #numbers = new Float64Array(channels.length).fill(Number.NaN);

  private constructor(steps: readonly Step[], decimal: DecimalSign) {
    this.#steps = steps;
    [this.#decimal, this.#otherDecimal] = decimal === '.' ? [point, comma] : [comma, point];
  }

  /** Null when the template has something in it that only the grammar can read. */
  static of(settings: QuickSettings): QuickLine | null {
    const pieces = templatePieces(settings.template);
    const steps: Step[] = [];
    for (const [index, piece] of pieces.entries()) {
      const some = 'text' in piece ? lettersOf(piece.text) : partOf(piece.name, settings);
      if (!some) return null;
      const next = pieces[index + 1];
      // Where a unit ends is plain only before a blank.
      if (some[0]?.kind === 'unit' && next && !('text' in next && /^[ \t]/.test(next.text))) return null;
      steps.push(...some);
    }
    return new QuickLine(steps, settings.decimal);
  }

  /** The number of a channel in the line read last; null when the template has none. */
  number(channel: Channel): number | null {
    const value = this.#numbers[channels.indexOf(channel)] ?? Number.NaN;
    return Number.isNaN(value) ? null : value;
  }

  /** Whether the line is a good one that was read; otherwise ask the grammar. */
  reads(text: string): boolean {
    let at = pastBlanks(text, 0);
    for (const step of this.#steps) {
      at = this.#take(step, text, at);
      if (at < 0) return false;
    }
    return pastBlanks(text, at) === text.length;
  }

  /** Where the line goes on behind this step, or -1. */
  #take(step: Step, text: string, at: number): number {
    switch (step.kind) {
      case 'letter':
        return lower(text.charCodeAt(at)) === step.code ? at + 1 : -1;
      case 'blanks':
        return isBlank(text.charCodeAt(at)) ? pastBlanks(text, at) : -1;
      case 'number':
        return this.#takeNumber(text, at, step.channel);
      default:
        return takeWord(step, text, at);
    }
  }

  #takeNumber(text: string, from: number, channel: number): number {
    let at = pastBlanks(text, from);
    let code = text.charCodeAt(at);
    const negative = code === minus;
    if (negative || code === plus) {
      do code = text.charCodeAt(++at);
      while (code === blank);
    }
    const wholeAt = at;
    let value = 0;
    for (; isDigit(code); code = text.charCodeAt(++at)) value = 10 * value + code - 48;
    let digits = at - wholeAt;
    if (digits === 0 || code === this.#otherDecimal) return -1;
    if (code === this.#decimal) {
      const decimalsAt = at + 1;
      for (code = text.charCodeAt(++at); isDigit(code); code = text.charCodeAt(++at)) value = 10 * value + code - 48;
      digits += at - decimalsAt;
      value /= powers[Math.min(at - decimalsAt, mostDigits)] ?? 1;
    }
    if (digits > mostDigits || lower(code) === 0x65) return -1;
    this.#numbers[channel] = negative ? -value : value;
    return at;
  }
}

function takeWord(step: Step, text: string, from: number): number {
  const { kind, known } = step;
  let at = from;
  let code = text.charCodeAt(at);
  let same = true;
  for (; isOfWord(kind, code); code = text.charCodeAt(++at)) same &&= code === known.charCodeAt(at - from);
  // Beyond ASCII and control characters: the grammar knows.
  if (code > 126 || (code < blank && code !== tab)) return -1;
  if (kind === 'skip' || (same && at - from === known.length)) return at;
  const word = text.slice(from, at);
  if (!step.means(word)) return -1;
  // A copy of its own: a part of the text would keep the whole piece of the line in memory.
  step.known = Buffer.from(word, 'latin1').toString('latin1');
  return at;
}

/** Letters that a word may have; end of the text is none. */
function isOfWord(kind: Step['kind'], code: number): boolean {
  if (!(code > blank && code < 127)) return false;
  if (kind === 'unit') return true;
  if (kind === 'skip') return code !== comma && code !== semicolon;
  return statusLetters[code] === 1;
}

const statusLetters = Uint8Array.from({ length: 128 }, (_, code) =>
  /[A-Za-z0-9*!?_-]/.test(String.fromCharCode(code)) ? 1 : 0,
);

const isDigit = (code: number): boolean => code >= 48 && code <= 57;
const isBlank = (code: number): boolean => code === blank || code === tab;
const lower = (code: number): number => (code >= 65 && code <= 90 ? code + 32 : code);

function pastBlanks(text: string, from: number): number {
  let at = from;
  while (isBlank(text.charCodeAt(at))) at += 1;
  return at;
}

const stepOf = (kind: Step['kind'], more: Partial<Step> = {}): Step => ({
  kind,
  code: 0,
  channel: 0,
  means: () => false,
  // No word is this: nothing is known yet.
  known: ' ',
  ...more,
});

/** A template's letters; a run of blanks is one step. */
function lettersOf(text: string): readonly Step[] | null {
  if (/[^\t\x20-\x7e]/.test(text)) return null;
  return [...text.replace(/[ \t]+/g, ' ')].map((letter) =>
    letter === ' ' ? stepOf('blanks') : stepOf('letter', { code: lower(letter.charCodeAt(0)) }),
  );
}

const wholeUnit = new RegExp(`^(?:${unitSource})$`, 'i');

function partOf(name: string, settings: QuickSettings): readonly Step[] | null {
  switch (name) {
    case 'pressure':
    case 'opposite':
    case 'oil':
    case 'elapsed':
      return [stepOf('number', { channel: channels.indexOf(name) })];
    case 'unit':
      return [
        stepOf('unit', { means: (word) => wholeUnit.test(word) && readPressureUnit(word) === settings.unitName }),
      ];
    case 'oil_unit':
      return [
        stepOf('unit', { means: (word) => wholeUnit.test(word) && readTemperatureUnit(word) === settings.oilUnitName }),
      ];
    case 'status':
      return [stepOf('status', { means: (word) => meansWell(word, settings.status) })];
    case 'skip':
      return [stepOf('skip')];
    default:
      return null;
  }
}

function meansWell(word: string, own: QuickSettings['status']): boolean {
  const status = readStatus(word, own);
  return status?.live === true && status.flags === 0 && !status.zeroed;
}
