import { cutMark, LineClock, type Piece } from '../../src/gauge/index.js';
import type { PortSettings } from './port-settings.js';

/** Settings that lines are cut by. */
export interface SplitSettings extends PortSettings {
  readonly terminator: string;
  readonly maxLineBytes: number;
}

/** Told of a line: it stands in a piece from one place to another. */
export type OnLinePart = (piece: Piece, from: number, to: number, timeUs: number) => void;

/**
 * Bytes into lines, bytes read as Latin-1, with the time of their last byte. Split on the terminator and nothing else;
 * empty lines are no lines; a line without its terminator never comes out; one longer than `maxLineBytes` is cut there
 * and ends in {@link cutMark}, so that a megabyte without a terminator takes no memory. Each piece becomes one text and
 * its lines are told as parts of it: nothing is copied for a line.
 */
export class LineSplitter {
  readonly #terminator: string;
  readonly #maxBytes: number;
  readonly #onLine: OnLinePart;
  readonly #clock: LineClock;
  /** The line under way. */
  #held = nothing;
  /** The beginning of a line under way that is too long; the rest of it is swallowed. */
  #tooLong: string | null = null;

  constructor(settings: SplitSettings, onLine: OnLinePart) {
    this.#terminator = Buffer.from(settings.terminator, 'latin1').toString('latin1');
    this.#maxBytes = settings.maxLineBytes;
    this.#onLine = onLine;
    this.#clock = new LineClock(settings);
  }

  /** Bytes that arrived at `timeUs`; `unwatched` as of {@link LineClock.piece}. */
  take(piece: Buffer, timeUs: number, unwatched = false): void {
    const terminator = this.#terminator;
    const held = this.#held;
    this.#clock.piece(timeUs, piece.length, unwatched);
    const bytes = held.length === 0 ? piece : Buffer.concat([held, piece]);
    const text = bytes.toString('latin1');
    const data = { bytes, text };
    let from = 0;
    let at = text.indexOf(terminator, Math.max(0, held.length - terminator.length + 1));
    while (at !== -1) {
      const next = at + terminator.length;
      this.#tell(data, from, at, text.length - next);
      from = next;
      at = text.indexOf(terminator, from);
    }
    this.#hold(bytes.subarray(from));
  }

  /** Forgets the line under way. */
  restart(): void {
    this.#held = nothing;
    this.#tooLong = null;
  }

  #tell(data: Piece, from: number, to: number, bytesAfter: number): void {
    const start = this.#tooLong ?? (to - from > this.#maxBytes ? data.text.slice(from, from + this.#maxBytes) : null);
    this.#tooLong = null;
    if (start !== null) {
      const text = start + cutMark;
      const cut = { bytes: Buffer.from(text, 'latin1'), text };
      this.#onLine(cut, 0, text.length, this.#clock.ended(bytesAfter));
    } else if (to > from) this.#onLine(data, from, to, this.#clock.ended(bytesAfter));
  }

  /** Keeps what the next piece goes on with: of a line too long no more than may be the start of a terminator. */
  #hold(rest: Buffer): void {
    const spare = this.#terminator.length - 1;
    if (this.#tooLong === null && rest.length > this.#maxBytes + spare)
      this.#tooLong = rest.toString('latin1', 0, this.#maxBytes);
    // A copy: the port reads into the same room again.
    this.#held = Buffer.from(this.#tooLong === null ? rest : rest.subarray(rest.length - spare));
  }
}

const nothing = Buffer.alloc(0);
