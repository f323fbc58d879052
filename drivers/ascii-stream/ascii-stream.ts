import type { ReadlineParser } from '@serialport/parser-readline';
import { z } from 'zod';
import {
  type DriverModule,
  type GaugeDescription,
  type GaugeDriver,
  type GaugeItem,
  ItemQueue,
  LineClock,
  type LineGrammar,
  LineGuard,
  LineReader,
  lineGrammar,
} from '../../src/gauge/index.js';
import { readDriverSettings } from '../driver-settings.js';
import { instrumentShape, lineShape, type PortLister, portShape, SerialLine } from '../serial/index.js';

const schema = z.strictObject({ ...portShape, ...lineShape, ...instrumentShape });

/** Settings of a gauge that talks by itself; only `path`, `pattern` and `unit` are needed. */
export type AsciiStreamSettings = z.input<typeof schema>;
type Settings = z.output<typeof schema>;

/**
 * A gauge that sends a line for each reading, unasked. Bytes come from `serialport`, are bounded by {@link LineGuard}
 * and split on the terminator by `@serialport/parser-readline`; each line is stamped with the time its last byte
 * must have been on the wire, so that lines which arrive in one piece keep their order and spacing.
 * @throws DwellmarkError (`input`) at once for a setting that can't be.
 * @example createAsciiStream({ path: '/dev/ttyUSB0', pattern: '{pressure} {unit}', unit: 'bar' })
 */
export function createAsciiStream(settings: AsciiStreamSettings, lister?: PortLister): GaugeDriver {
  return fromTable({ ...settings }, lister);
}

function fromTable(settings: Readonly<Record<string, unknown>>, lister?: PortLister): GaugeDriver {
  const checked = readDriverSettings('ascii-stream', schema, settings);
  return new AsciiStream(checked, lineGrammar(checked), lister);
}

export const driver: DriverModule = {
  name: 'ascii-stream',
  summary: 'a gauge on a serial port that sends a line for each reading by itself',
  create: (settings) => fromTable(settings),
};

class AsciiStream implements GaugeDriver {
  readonly #settings: Settings;
  readonly #grammar: LineGrammar;
  readonly #line: SerialLine;
  readonly #queue: ItemQueue;
  readonly #reader: LineReader;
  readonly #clock: LineClock;
  #guard: LineGuard;
  #Parser: typeof ReadlineParser | undefined;
  #parser: ReadlineParser | undefined;

  constructor(settings: Settings, grammar: LineGrammar, lister?: PortLister) {
    this.#settings = settings;
    this.#grammar = grammar;
    this.#clock = new LineClock(settings);
    this.#reader = new LineReader(grammar, settings.serial === undefined ? {} : { serial: settings.serial });
    this.#guard = new LineGuard(settings.terminator, settings.maxLineBytes);
    this.#line = new SerialLine(
      settings,
      {
        bytes: (piece, timeUs) => this.#take(piece, timeUs),
        fault: (fault) => this.#queue.push({ kind: 'fault', fault }),
        reopened: () => this.#startLine(),
      },
      lister,
    );
    this.#queue = new ItemQueue({ onFull: () => this.#line.pause(), onDrained: () => this.#line.resume() });
  }

  async open(): Promise<GaugeDescription> {
    this.#Parser = (await import('@serialport/parser-readline')).ReadlineParser;
    this.#startLine();
    await this.#line.open();
    const { path, baudRate, dataBits, parity, stopBits, maker, model, serial, ratePerS } = this.#settings;
    return {
      driver: 'ascii-stream',
      source: `${path} at ${baudRate} baud ${dataBits}${parity.charAt(0).toUpperCase()}${stopBits}`,
      unit: this.#grammar.unitName,
      channels: {
        opposite: this.#grammar.pattern.parts.has('opposite'),
        oil: this.#grammar.pattern.parts.has('oil'),
      },
      ...(maker === undefined ? {} : { maker }),
      ...(model === undefined ? {} : { model }),
      ...(serial === undefined ? {} : { serial }),
      ...(ratePerS === undefined ? {} : { ratePerS }),
    };
  }

  items(): AsyncIterable<GaugeItem> {
    return this.#queue;
  }

  async close(): Promise<void> {
    await this.#line.close();
    this.#queue.end();
  }

  /** A fresh parser each time the port opens: what the old one holds is a line cut off, and is never ended into one. */
  #startLine(): void {
    this.#guard = new LineGuard(this.#settings.terminator, this.#settings.maxLineBytes);
    this.#clock.restart();
    this.#reader.restart();
    if (!this.#Parser) return;
    this.#parser = new this.#Parser({ delimiter: this.#settings.terminator, encoding: 'latin1' });
    this.#parser.on('data', (text: string) => this.#readLine(text));
  }

  #take(piece: Buffer, timeUs: number): void {
    const { bytes, bytesAfter } = this.#guard.push(piece);
    this.#clock.piece(timeUs, bytesAfter);
    if (bytes.length > 0) this.#parser?.write(bytes);
  }

  #readLine(text: string): void {
    const timeUs = this.#clock.next(this.#line.nowUs());
    for (const item of this.#reader.read(timeUs, text)) this.#queue.push(item);
  }
}
