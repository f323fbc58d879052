import { createReadStream, type ReadStream } from 'node:fs';
import { DwellmarkError } from '../../src/gauge/index.js';

/** A line longer than this is no log. */
const longestLine = 65_536;

export interface LogLine {
  readonly text: string;
  /** 1-based. */
  readonly line: number;
  /** False for a last line that the file ends in the middle of, or just without a line break. */
  readonly ended: boolean;
}

/** The lines of a file that carry something, a piece of the file at a time: no comments, blank lines, byte order mark. */
export class LogLines {
  readonly #path: string;
  readonly #stream: ReadStream;
  readonly #pieces: AsyncIterator<string>;
  #ready: readonly string[] = [];
  #next = 0;
  #rest = '';
  #over = false;
  #closed = false;
  line = 0;
  /** Lines put out of use with a #. */
  comments = 0;

  constructor(path: string) {
    this.#path = path;
    this.#stream = createReadStream(path, { encoding: 'utf8' });
    this.#pieces = this.#stream[Symbol.asyncIterator]();
  }

  /** @throws DwellmarkError (`input`) for a line without end, or where the file can't be read on. */
  async nextRow(): Promise<LogLine | undefined> {
    for (;;) {
      if (this.#closed) return undefined;
      const ready = this.#ready[this.#next];
      if (ready === undefined) {
        if (await this.#readOn()) continue;
        const last = this.#rest;
        this.#rest = '';
        if (!isRow(last)) return undefined;
        this.line += 1;
        return { text: last, line: this.line, ended: false };
      }
      this.#next += 1;
      this.line += 1;
      if (isRow(ready)) return { text: ready, line: this.line, ended: true };
      if (ready.trimStart().startsWith('#')) this.comments += 1;
    }
  }

  /** A running `nextRow` then ends as if the file had. */
  close(): void {
    this.#closed = true;
    this.#rest = '';
    this.#stream.destroy();
  }

  async #readOn(): Promise<boolean> {
    if (this.#over) return false;
    const piece = await this.#pieces.next().catch((cause: NodeJS.ErrnoException) => {
      if (this.#closed) return { done: true as const, value: undefined };
      throw new DwellmarkError('input', `the log can't be read to its end: ${cause.code ?? cause.message}`, {
        place: { file: this.#path },
        advice: 'Copy it to this computer, and read it there.',
        cause,
      });
    });
    if (this.#closed || piece.done) {
      this.#over = true;
      return false;
    }
    const text = this.line === 0 && this.#rest === '' ? piece.value.replace(/^\uFEFF/, '') : piece.value;
    const lines = (this.#rest + text).split(/\r\n|\n/);
    this.#rest = lines.pop() ?? '';
    this.#ready = lines;
    this.#next = 0;
    if (this.#rest.length > longestLine)
      throw new DwellmarkError('input', `the line is longer than ${longestLine} characters`, {
        place: { file: this.#path, line: this.line + lines.length + 1, column: 1 },
        advice: 'Is this a log in CSV?',
      });
    return true;
  }
}

const isRow = (text: string): boolean => {
  const bare = text.trimStart();
  return bare !== '' && !bare.startsWith('#');
};
