import { remark, screenWidth } from '../output.js';

/** A line on a terminal's stderr that says how far a long work has come; nothing elsewhere. */
export class Progress {
  readonly #shown = process.stderr.isTTY === true;
  #saidAtMs = Number.NEGATIVE_INFINITY;

  /** What is done, in words; written at most ten times a second. */
  readonly tell = (text: string): void => {
    const now = performance.now();
    if (!this.#shown || now - this.#saidAtMs < 100) return;
    this.#saidAtMs = now;
    process.stderr.write(`\r\u001b[K${text.slice(0, screenWidth(process.stderr) - 1)}`);
  };

  end(): void {
    if (this.#shown) process.stderr.write('\r\u001b[K');
  }
}

/** A thread of a long check that could not go on, on stderr: the check does, only slower. */
export const threadLost = (why: string): void =>
  remark(`A thread of the check failed (${why}); its tests are checked without it.`);
