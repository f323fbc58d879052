import type { ReadlineParser } from '@serialport/parser-readline';
import { LineClock, LineGuard } from '../../src/gauge/index.js';
import type { SplitSettings } from '../serial/index.js';

/**
 * The answers of a gauge that is asked, a line each, with the time of their last byte: bounded by {@link LineGuard},
 * split by `@serialport/parser-readline` on the terminator and nothing else, timed by {@link LineClock}. An answer
 * without its terminator never comes out: the parser is thrown away, not ended. A gauge that talks by itself may send
 * many lines in one piece and is read by `LineSplitter`, which gives the very same lines.
 */
export class AnswerSplitter {
  readonly #settings: SplitSettings;
  readonly #Parser: typeof ReadlineParser;
  readonly #onLine: (text: string, timeUs: number) => void;
  readonly #clock: LineClock;
  #guard: LineGuard;
  #parser: ReadlineParser;
  /** Times of the lines that the parser has been given and has not told of. */
  #ends: number[] = [];

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

  static async make(settings: SplitSettings, onLine: (text: string, timeUs: number) => void): Promise<AnswerSplitter> {
    const { ReadlineParser } = await import('@serialport/parser-readline');
    return new AnswerSplitter(settings, onLine, ReadlineParser);
  }

  /** Bytes that arrived at `timeUs`. */
  take(piece: Buffer, timeUs: number): void {
    const { bytes, bytesAfter } = this.#guard.push(piece);
    this.#clock.piece(timeUs, piece.length);
    for (const after of bytesAfter) this.#ends.push(this.#clock.ended(after));
    if (bytes.length > 0) this.#parser.write(bytes);
  }

  /** Forgets the line under way. */
  restart(): void {
    this.#guard = this.#newGuard();
    this.#ends = [];
    this.#parser = this.#newParser();
  }

  #newGuard(): LineGuard {
    return new LineGuard(this.#settings.terminator, this.#settings.maxLineBytes);
  }

  #newParser(): ReadlineParser {
    const parser = new this.#Parser({ delimiter: this.#settings.terminator, encoding: 'latin1' });
    parser.on('data', (text: string) => {
      const timeUs = this.#parser === parser ? this.#ends.shift() : undefined;
      if (timeUs !== undefined) this.#onLine(text, timeUs);
    });
    return parser;
  }
}
