import { ReadlineParser } from '@serialport/parser-readline';
import { LineClock, LineGuard } from '../../src/gauge/index.js';
import type { PortSettings } from './port-settings.js';

/** Settings that lines are split by. */
export interface SplitSettings extends PortSettings {
  readonly terminator: string;
  readonly maxLineBytes: number;
}

/** Told of a line, bytes read as Latin-1, and when its last byte was on the wire. */
export type OnLine = (text: string, timeUs: number) => void;

/**
 * Bytes into lines with the time of their last byte: bounded by {@link LineGuard}, split by
 * `@serialport/parser-readline` on the terminator and nothing else, timed by {@link LineClock}. Empty lines are no
 * lines. A line without its terminator never comes out: the parser is thrown away, never ended.
 */
export class LineSplitter {
  readonly #settings: SplitSettings;
  readonly #onLine: OnLine;
  readonly #clock: LineClock;
  #guard: LineGuard;
  #parser: ReadlineParser;
  /** Times of the lines that the parser has been given and has not handed on; `#next` is the first of them. */
  #ends: number[] = [];
  #next = 0;

  constructor(settings: SplitSettings, onLine: OnLine) {
    this.#settings = settings;
    this.#onLine = onLine;
    this.#clock = new LineClock(settings);
    this.#guard = this.#newGuard();
    this.#parser = this.#newParser();
  }

  /** Bytes that arrived at `timeUs`, or since `sinceUs` when nobody looked at the port. */
  take(piece: Buffer, timeUs: number, sinceUs?: number): void {
    const { bytes, bytesAfter } = this.#guard.push(piece);
    this.#ends.push(...this.#clock.ends({ timeUs, bytes: piece.length, bytesAfter, sinceUs }));
    if (bytes.length > 0) this.#parser.write(bytes);
  }

  /** Forgets the line under way. */
  restart(): void {
    this.#guard = this.#newGuard();
    this.#ends = [];
    this.#next = 0;
    this.#parser = this.#newParser();
  }

  #newGuard(): LineGuard {
    return new LineGuard(this.#settings.terminator, this.#settings.maxLineBytes);
  }

  #newParser(): ReadlineParser {
    const options = { delimiter: this.#settings.terminator, encoding: 'latin1', readableObjectMode: true } as const;
    const parser = new ReadlineParser(options);
    parser.on('data', (text: string) => {
      if (this.#parser !== parser || text === '') return;
      const timeUs = this.#ends[this.#next];
      this.#next += 1;
      if (this.#next === this.#ends.length) {
        this.#ends = [];
        this.#next = 0;
      }
      if (timeUs !== undefined) this.#onLine(text, timeUs);
    });
    return parser;
  }
}
