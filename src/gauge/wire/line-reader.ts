import type { GaugeFault, GaugeItem } from '../driver.js';
import { faultAt } from '../fault.js';
import { FaultEpisodes } from '../fault-episodes.js';
import { BadLines } from './bad-lines.js';
import { KnownLine } from './known-line.js';
import { type DecodedLine, decodeLine, type LineGrammar } from './line-decoder.js';
import { cutMark } from './line-guard.js';
import { tooLarge, tooLate, wholeMicroseconds, wholeMillikelvins, wholePascals } from './whole-si.js';

/** Longest raw text kept of one line. */
const shownLength = 120;

/** Takes items: an `ItemQueue`, an array. */
interface ItemSink {
  push(item: GaugeItem): unknown;
}

/**
 * Turns the lines of one gauge into items: the raw line, the reading, and faults. Bad lines are told when they begin
 * and, with their number, when they are over.
 */
export class LineReader {
  readonly #grammar: LineGrammar;
  readonly #known: KnownLine | null;
  readonly #episodes = new FaultEpisodes();
  readonly #badLines = new BadLines();
  #serial: string | null;
  #partialDropped = false;
  /** Arrival of the first timed line less its own clock: joins the instrument's clock to this computer's. */
  #clockOffsetUs: number | null = null;

  constructor(grammar: LineGrammar, options: { readonly serial?: string; readonly wholeFromStart?: boolean } = {}) {
    this.#grammar = grammar;
    this.#known = KnownLine.of(grammar);
    this.#serial = options.serial ?? null;
    this.#partialDropped = options.wholeFromStart ?? false;
  }

  /** Serial that the lines carry, or the one expected. */
  get serial(): string | null {
    return this.#serial;
  }

  /** The line under way was broken off (line noise, unplugged): what comes next may begin in the middle. */
  restart(): void {
    this.#partialDropped = false;
    this.#clockOffsetUs = null;
  }

  /**
   * Hands out the items of one line, terminator off. The first line after a start is kept as raw text only: it may be
   * cut. Blank lines are no lines.
   */
  read(timeUs: number, rawText: string, out: ItemSink): void {
    const known = this.#partialDropped ? this.#known : null;
    if (known?.reads(rawText) && this.#readKnown(timeUs, rawText, known, out)) return;
    if (this.#readByGrammar(timeUs, rawText, out)) this.#known?.learn(rawText);
  }

  /** Whether it was a line without any trouble. */
  #readByGrammar(timeUs: number, rawText: string, out: ItemSink): boolean {
    const text = tidyText(rawText);
    const blank = isBlank(text);
    if (blank || !this.#partialDropped) {
      this.#partialDropped = true;
      if (!blank) out.push(lineItem(timeUs, text, false));
      return false;
    }
    const decoded = text.endsWith(cutMark) ? tooLong : decodeLine(this.#grammar, text);
    const item = lineItem(timeUs, text, decoded.ok);
    out.push(!decoded.ok && decoded.code === 'checksum' ? { ...item, known: true } : item);
    if (!decoded.ok) {
      if (decoded.code === 'other-address') return false;
      const shown = JSON.stringify(text.slice(0, 40));
      const fault = this.#badLines.bad(timeUs, decoded.code, `the line ${shown} ${decoded.reason}`);
      if (fault) out.push(faultItem(fault));
      return false;
    }
    const otherDevice = this.#serialTrouble(timeUs, decoded.serial);
    this.#hand(timeUs, decoded, otherDevice, out);
    return withoutTrouble(decoded);
  }

  /** A line that differs from the one before in its digits alone; false when a number in it is too large. */
  #readKnown(timeUs: number, rawText: string, line: KnownLine, out: ItemSink): boolean {
    const { unit, oilUnit } = this.#grammar;
    const pressurePa = Number.isNaN(line.pressure) || !unit ? null : wholePascals(line.pressure, unit);
    const oppositePa = Number.isNaN(line.opposite) || !unit ? null : wholePascals(line.opposite, unit);
    const oilK = Number.isNaN(line.oil) ? null : wholeMillikelvins(line.oil, oilUnit);
    const elapsedUs = Number.isNaN(line.elapsed) ? null : wholeMicroseconds(line.elapsed);
    if (tooLarge(pressurePa) || tooLarge(oppositePa) || tooLarge(oilK) || tooLate(elapsedUs)) return false;
    out.push({ kind: 'line', timeUs, text: withoutReturn(rawText), accepted: true });
    this.#hand(timeUs, { pressurePa, oppositePa, oilK, elapsedUs, flags: 0, trouble: none }, undefined, out);
    return true;
  }

  /** A good line's faults and reading. */
  #hand(timeUs: number, read: ReadLine, otherDevice: GaugeFault | undefined, out: ItemSink): void {
    for (const fault of this.#badLines.good(timeUs)) out.push(faultItem(fault));
    if (otherDevice) out.push(faultItem(otherDevice));
    for (const fault of this.#episodes.of(timeUs, read.trouble)) out.push(faultItem(fault));
    const { pressurePa, oppositePa, oilK, flags } = read;
    const takenUs = this.#takenUs(timeUs, read.elapsedUs);
    out.push({ kind: 'reading', reading: { timeUs: takenUs, pressurePa, oppositePa, oilK, flags } });
  }

  /** When the reading was taken: by the instrument's clock where the line tells it, else when the line arrived. */
  #takenUs(arrivedUs: number, elapsedUs: number | null): number {
    if (elapsedUs === null) return arrivedUs;
    this.#clockOffsetUs ??= arrivedUs - elapsedUs;
    return this.#clockOffsetUs + elapsedUs;
  }

  #serialTrouble(timeUs: number, serial: string | null): GaugeFault | undefined {
    if (serial === null) return undefined;
    const before = this.#serial;
    this.#serial = serial;
    if (before === null || before === serial) return undefined;
    return faultAt(timeUs, 'other-device', `the gauge says it is ${serial}, not ${before}`);
  }
}

type GoodLine = Extract<DecodedLine, { ok: true }>;
type ReadLine = Omit<GoodLine, 'ok' | 'serial'>;
const none: GoodLine['trouble'] = [];

const withoutTrouble = ({ flags, trouble, pressurePa, oilK }: GoodLine): boolean =>
  flags === 0 && trouble.length === 0 && (pressurePa !== null || oilK !== null);

const lineItem = (timeUs: number, text: string, accepted: boolean): LineItem => ({
  kind: 'line',
  timeUs,
  text: text.length > shownLength ? `${text.slice(0, shownLength).replace(halfALetter, '')}…` : text,
  accepted,
});

type LineItem = Extract<GaugeItem, { kind: 'line' }>;

/** A letter of two parts that was cut in the middle: no text that can be kept. */
const halfALetter = /[\ud800-\udbff]$/;

const tooLong = { ok: false, code: 'bad-line', reason: 'is longer than a line of this gauge can be' } as const;

const faultItem = (fault: GaugeFault): GaugeItem => ({ kind: 'fault', fault });

const strictUtf8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/** Bytes read as Latin-1, made UTF-8 where they are. */
function tidyText(text: string): string {
  const line = withoutReturn(text);
  if (!beyondAscii.test(line)) return line;
  try {
    return strictUtf8.decode(Buffer.from(line, 'latin1'));
  } catch {
    return line;
  }
}

/** A carriage return left by a bare newline terminator goes. */
const withoutReturn = (text: string): string => (text.charCodeAt(text.length - 1) === 13 ? text.slice(0, -1) : text);

const beyondAscii = /[\u0080-\u00ff]/;

/** Lines begin with a letter or a digit nearly always. */
const isBlank = (text: string): boolean => !(text.charCodeAt(0) > 32) && text.trim() === '';
