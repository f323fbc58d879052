import { z } from 'zod';
import {
  type DriverModule,
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
  instrumentShape,
  LineSplitter,
  lineShape,
  type PortLister,
  portShape,
  SerialLine,
  textDescription,
} from '../serial/index.js';

const schema = z.strictObject({
  ...portShape,
  ...lineShape,
  ...instrumentShape,
  /** Of several instruments on one line: the one that {address} of the pattern must be. */
  address: z.string().min(1).max(8).exactOptional(),
});

/** Settings of a gauge that talks by itself; only `path`, `pattern` and the pressure's `unit` are needed. */
export type AsciiStreamSettings = z.input<typeof schema>;
type Settings = z.output<typeof schema>;

/**
 * A gauge that sends a line for each reading, unasked. Bytes come from `serialport` and are split on the terminator;
 * each line is stamped with the time its last byte must have been on the wire, so that lines which arrive in one piece
 * keep their order and spacing.
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
  readonly #splitter: LineSplitter;

  constructor(settings: Settings, grammar: LineGrammar, lister?: PortLister) {
    this.#settings = settings;
    this.#grammar = grammar;
    this.#reader = new LineReader(grammar, settings.serial === undefined ? {} : { serial: settings.serial });
    this.#splitter = new LineSplitter(settings, (text, timeUs) => this.#reader.read(timeUs, text, this.#queue));
    this.#line = new SerialLine(
      settings,
      {
        bytes: (piece, timeUs, sinceUs) => this.#splitter.take(piece, timeUs, sinceUs),
        fault: (fault) => this.#queue.push({ kind: 'fault', fault }),
        reopened: () => {
          this.#splitter.restart();
          this.#reader.restart();
        },
      },
      lister,
    );
    this.#queue = new ItemQueue({ onFull: () => this.#line.pause(), onDrained: () => this.#line.resume() });
  }

  async open(): Promise<GaugeDescription> {
    await this.#line.open();
    return textDescription('ascii-stream', this.#settings, this.#grammar);
  }

  items(): AsyncIterable<GaugeItem> {
    return this.#queue;
  }

  async close(): Promise<void> {
    await this.#line.close();
    this.#queue.end();
  }
}
