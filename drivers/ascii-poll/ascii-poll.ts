import { z } from 'zod';
import {
  type ChecksumKind,
  checksumText,
  type DriverModule,
  DwellmarkError,
  decodeLine,
  type GaugeDriver,
  type LineGrammar,
  LineReader,
  lineGrammar,
  type Trouble,
} from '../../src/gauge/index.js';
import { readDriverSettings } from '../driver-settings.js';
import {
  type Dialogue,
  type Exchange,
  instrumentShape,
  LineSplitter,
  lineShape,
  PolledGauge,
  type PortLister,
  portShape,
  SerialLine,
  textDescription,
} from '../serial/index.js';

export const asciiPollSchema = z.strictObject({
  ...portShape,
  ...lineShape,
  ...instrumentShape,
  /** What is sent to get a reading, its end included: `#{address}RD{checksum}\r`. */
  request: z.string().min(1).max(64),
  /** Stands for {address} in request and pattern. */
  address: z.string().min(1).max(8).exactOptional(),
  /** Kind of {checksum} in the request; of everything before it. */
  requestChecksum: z.enum(['none', 'sum', 'twos-complement', 'xor', 'crc16']).default('none'),
  /** Readings asked for a second. */
  ratePerS: z.number().positive().max(200).default(10),
  timeoutMs: z.number().int().min(5).max(10_000).default(500),
});

/** Settings of a gauge that answers when asked; only `path`, `request`, `pattern` and the pressure's `unit` are needed. */
export type AsciiPollSettings = z.input<typeof asciiPollSchema>;
type Settings = z.output<typeof asciiPollSchema>;

/**
 * A gauge that is asked for each reading. One question at a time; an answer that comes after its time, from another
 * address or with a wrong checksum is kept as a raw line and is no reading. What an adapter echoes is not taken for
 * an answer, and the first answer after opening is dropped: noise may stand before it.
 * @throws DwellmarkError (`input`) at once for a setting that can't be.
 * @example createAsciiPoll({ path: '/dev/ttyUSB0', request: '#01\r', pattern: '>{pressure}', unit: 'bar' })
 */
export function createAsciiPoll(settings: AsciiPollSettings, lister?: PortLister): GaugeDriver {
  return fromTable({ ...settings }, lister);
}

export const driver: DriverModule = {
  name: 'ascii-poll',
  summary: 'a gauge on a serial port that answers with a line when it is asked',
  create: (settings) => fromTable(settings),
};

function fromTable(table: Readonly<Record<string, unknown>>, lister?: PortLister): GaugeDriver {
  const settings = readDriverSettings('ascii-poll', asciiPollSchema, table);
  const pattern = withAddress('pattern', settings.pattern, settings.address);
  const { address: _, ...line } = settings;
  const grammar = lineGrammar({ ...line, pattern });
  const request = requestOf(settings);
  return new PolledGauge({
    timing: settings,
    line: (listener) => new SerialLine(settings, listener, lister),
    dialogue: (exchange) => new TextDialogue(exchange, settings, grammar, request),
    describe: () => textDescription('ascii-poll', settings, grammar),
  });
}

function withAddress(key: string, text: string, address: string | undefined): string {
  if (address === undefined && text.includes('{address}'))
    throw new DwellmarkError('input', `${key} has an {address}, but no address is set`, { place: { key: 'address' } });
  return text.replaceAll('{address}', address ?? '');
}

function requestOf(settings: Settings): Buffer {
  const text = withAddress('request', settings.request, settings.address);
  const at = text.indexOf('{checksum}');
  const kind: ChecksumKind = settings.requestChecksum;
  if ((at === -1) !== (kind === 'none'))
    throw new DwellmarkError('input', 'request and request_checksum do not belong together', {
      place: { key: 'request_checksum' },
      advice: 'Put {checksum} into the request, and set its kind; or neither.',
    });
  if (at === -1) return Buffer.from(text, 'latin1');
  const checksum = checksumText(kind, Buffer.from(text.slice(0, at), 'latin1'));
  return Buffer.from(text.replace('{checksum}', checksum), 'latin1');
}

/** Heads of lines are remembered so long, µs. */
const headKeptUs = 10_000_000;

/**
 * Questions of one text, answers a line each. A head whose tail did not come with it is remembered: a line that makes
 * a whole answer of it, no longer than answers are, is that tail, whenever it comes.
 */
class TextDialogue implements Dialogue {
  readonly #exchange: Exchange;
  readonly #grammar: LineGrammar;
  readonly #request: Buffer;
  readonly #echo: string;
  readonly #terminator: Buffer;
  readonly #splitter: LineSplitter;
  readonly #reader: LineReader;
  readonly #timeoutMs: number;
  readonly #longestHead: number;
  /** What came behind the last terminator. */
  #rest = '';
  #restUs = 0;
  #head: { readonly text: string; readonly timeUs: number } | null = null;
  #longestAnswer = 0;

  constructor(exchange: Exchange, settings: Settings, grammar: LineGrammar, request: Buffer) {
    this.#exchange = exchange;
    this.#grammar = grammar;
    this.#request = request;
    this.#echo = request.toString('latin1').trim();
    this.#terminator = Buffer.from(settings.terminator, 'latin1');
    this.#longestHead = settings.maxLineBytes;
    this.#timeoutMs = settings.timeoutMs;
    this.#reader = new LineReader(grammar, settings.serial === undefined ? {} : { serial: settings.serial });
    this.#splitter = new LineSplitter(settings, (text, timeUs) => this.#line(text, timeUs));
  }

  /** Without the head that has its digits, its sign or its point the rest of a line reads as another number. */
  get unfinished(): boolean {
    return /[\d+\-.,]/.test(this.#rest);
  }

  question(): Buffer {
    this.#forget();
    return this.#request;
  }

  take(piece: Buffer, timeUs: number): void {
    const ended = piece.lastIndexOf(this.#terminator);
    const before = ended === -1 ? this.#rest : '';
    const rest = ended === -1 ? piece : piece.subarray(ended + this.#terminator.length);
    this.#rest = (before + rest.toString('latin1')).trimStart().slice(0, this.#longestHead);
    this.#restUs = timeUs;
    this.#splitter.take(piece, timeUs);
  }

  unanswered(): Trouble {
    this.#forget();
    return { code: 'exception', text: `the gauge did not answer within {seconds:${this.#timeoutMs / 1000}}` };
  }

  restart(): void {
    this.#forget();
    this.#head = null;
    this.#reader.restart();
  }

  #forget(): void {
    if (this.unfinished) this.#head = { text: this.#rest, timeUs: this.#restUs };
    this.#rest = '';
    this.#splitter.restart();
  }

  #line(text: string, timeUs: number): void {
    const line = text.trim();
    if (line === '' || line === this.#echo) return;
    const counts = this.#isTail(line, timeUs) ? this.#exchange.late(timeUs) : this.#exchange.answer(timeUs);
    if (!counts) {
      const known = decodeLine(this.#grammar, line).ok;
      this.#exchange.push({ kind: 'line', timeUs, text: text.slice(0, 120).trimEnd(), accepted: false, known });
      return;
    }
    this.#longestAnswer = Math.max(this.#longestAnswer, line.length);
    this.#exchange.report(timeUs, []);
    this.#reader.read(timeUs, text, this.#exchange);
  }

  #isTail(line: string, timeUs: number): boolean {
    const head = this.#head;
    if (head === null) return false;
    const whole = head.text + line;
    const is =
      timeUs - head.timeUs < headKeptUs && whole.length <= this.#longestAnswer && decodeLine(this.#grammar, whole).ok;
    if (is) this.#head = null;
    return is;
  }
}
