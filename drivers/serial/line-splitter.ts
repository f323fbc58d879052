import type { ReadlineParser } from '@serialport/parser-readline';
import { LineClock, LineGuard } from '../../src/gauge/index.js';
import type { PortSettings } from './port-settings.js';

/** Settings that lines are cut by. */
interface SplitSettings extends PortSettings {
  readonly terminator: string;
  readonly maxLineBytes: number;
}

/**
 * Bytes into lines with the time of their last byte: bounded by {@link LineGuard}, split by
 * `@serialport/parser-readline` on the terminator and nothing else, timed by {@link LineClock}. A line without its
 * terminator never comes out: the parser is thrown away, not ended.
 */
export class LineSplitter {
  readonly #settings: SplitSettings;
  readonly #Parser: typeof ReadlineParser;
  readonly #onLine: (text: string, timeUs: number) => void;
  readonly #clock: LineClock;
  #guard: LineGuard;
  #parser: ReadlineParser;
  #pieceUs = 0;

  private constructor(
    settings: SplitSettings,
    onLine: (text: string, timeUs: number) => void,
    Parser: typeof ReadlineParser,
  ) {
    this.#settings = settings;
    this.#onLine = onLine;
    this.#Parser = Parser;
    this.#clock = new LineClock(settings);
    this.#guard = this.#newGuard();
    this.#parser = this.#newParser();
  }

  static async make(settings: SplitSettings, onLine: (text: string, timeUs: number) => void): Promise<LineSplitter> {
    const { ReadlineParser } = await import('@serialport/parser-readline');
    return new LineSplitter(settings, onLine, ReadlineParser);
  }

  /** Bytes that arrived at `timeUs`. */
  take(piece: Buffer, timeUs: number): void {
    const { bytes, bytesAfter } = this.#guard.push(piece);
    this.#clock.piece(timeUs, bytesAfter);
    this.#pieceUs = timeUs;
    if (bytes.length > 0) this.#parser.write(bytes);
  }

  /** Forgets the line under way. */
  restart(): void {
    this.#guard = this.#newGuard();
    this.#clock.restart();
    this.#parser = this.#newParser();
  }

  #newGuard(): LineGuard {
    return new LineGuard(this.#settings.terminator, this.#settings.maxLineBytes);
  }

  #newParser(): ReadlineParser {
    const parser = new this.#Parser({ delimiter: this.#settings.terminator, encoding: 'latin1' });
    parser.on('data', (text: string) => {
      if (this.#parser === parser) this.#onLine(text, this.#clock.next(this.#pieceUs));
    });
    return parser;
  }
}
