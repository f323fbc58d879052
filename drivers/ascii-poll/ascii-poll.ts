import { z } from 'zod';
import {
  type ChecksumKind,
  checksumText,
  type DriverModule,
  DwellmarkError,
  faultAt,
  type GaugeDescription,
  type GaugeDriver,
  type GaugeItem,
  ItemQueue,
  type LineGrammar,
  LineReader,
  lineGrammar,
} from '../../src/gauge/index.js';
import { readDriverSettings } from '../driver-settings.js';
import {
  AskingLoop,
  instrumentShape,
  lineShape,
  type PortLister,
  portShape,
  SerialLine,
  textDescription,
} from '../serial/index.js';
import { AnswerSplitter } from './answer-splitter.js';

const schema = z.strictObject({
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
export type AsciiPollSettings = z.input<typeof schema>;
type Settings = z.output<typeof schema>;

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
  const settings = readDriverSettings('ascii-poll', schema, table);
  const pattern = withAddress('pattern', settings.pattern, settings.address);
  return new AsciiPoll(settings, lineGrammar({ ...settings, pattern }), requestOf(settings), lister);
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

class AsciiPoll implements GaugeDriver {
  readonly #settings: Settings;
  readonly #grammar: LineGrammar;
  readonly #echo: string;
  readonly #line: SerialLine;
  readonly #queue = new ItemQueue();
  readonly #reader: LineReader;
  readonly #loop: AskingLoop;
  #splitter: AnswerSplitter | undefined;
  #unanswered = 0;

  constructor(settings: Settings, grammar: LineGrammar, request: Buffer, lister?: PortLister) {
    this.#settings = settings;
    this.#grammar = grammar;
    this.#echo = request.toString('latin1').trim();
    this.#reader = new LineReader(grammar, settings.serial === undefined ? {} : { serial: settings.serial });
    this.#line = new SerialLine(
      settings,
      {
        bytes: (piece, timeUs) => this.#splitter?.take(piece, timeUs),
        fault: (fault) => {
          if (fault.code === 'unplugged') this.#loop.stop();
          this.#queue.push({ kind: 'fault', fault });
        },
        reopened: () => {
          this.#splitter?.restart();
          this.#reader.restart();
          this.#loop.start();
        },
      },
      lister,
    );
    this.#loop = new AskingLoop(this.#line, {
      intervalMs: 1000 / settings.ratePerS,
      timeoutMs: settings.timeoutMs,
      question: () => request,
      unanswered: (timeUs) => this.#tellUnanswered(timeUs),
    });
  }

  async open(): Promise<GaugeDescription> {
    this.#splitter = await AnswerSplitter.make(this.#settings, (text, timeUs) => this.#take(text, timeUs));
    await this.#line.open();
    this.#loop.start();
    return textDescription('ascii-poll', this.#settings, this.#grammar);
  }

  items(): AsyncIterable<GaugeItem> {
    return this.#queue;
  }

  async close(): Promise<void> {
    this.#loop.stop();
    await this.#line.close();
    this.#queue.end();
  }

  #take(text: string, timeUs: number): void {
    if (text.trim() === '' || text.trim() === this.#echo) return;
    if (!this.#loop.waiting) {
      this.#queue.push({ kind: 'line', timeUs, text: text.slice(0, 120).trimEnd(), accepted: false });
      return;
    }
    this.#unanswered = 0;
    this.#loop.answered();
    this.#reader.read(timeUs, text, this.#queue);
  }

  #tellUnanswered(timeUs: number): void {
    this.#unanswered += 1;
    // What has come so far is half an answer: the next one must not begin with it.
    this.#splitter?.restart();
    if (this.#unanswered > 1) return;
    const text = `the gauge did not answer within {seconds:${this.#settings.timeoutMs / 1000}}`;
    this.#queue.push({ kind: 'fault', fault: faultAt(timeUs, 'exception', text) });
  }
}
