import type { SerialLine } from './serial-line.js';

/** What asks an instrument and waits for its answer. */
export interface Asking {
  /** Time between two questions, milliseconds. */
  readonly intervalMs: number;
  /** How long an answer may take, milliseconds. */
  readonly timeoutMs: number;
  /** The bytes of the next question. */
  question(): Buffer;
  /** The answer did not come. */
  unanswered(timeUs: number): void;
}

/**
 * Asks in a steady beat: the next question waits for the answer to this one, or for its timeout, and for its turn.
 * A device that is slower than the beat is asked as fast as it answers.
 */
export class AskingLoop {
  readonly #line: SerialLine;
  readonly #asking: Asking;
  #timer: NodeJS.Timeout | undefined;
  #nextAtMs = 0;
  #running = false;
  #waiting = false;

  constructor(line: SerialLine, asking: Asking) {
    this.#line = line;
    this.#asking = asking;
  }

  /** An answer is due; bytes that come at another time answer nothing. */
  get waiting(): boolean {
    return this.#waiting;
  }

  start(): void {
    this.#running = true;
    this.#nextAtMs = performance.now();
    this.#ask();
  }

  stop(): void {
    this.#running = false;
    this.#waiting = false;
    clearTimeout(this.#timer);
  }

  /** The answer is in, good or bad. */
  answered(): void {
    if (!this.#waiting) return;
    this.#waiting = false;
    this.#later();
  }

  #later(): void {
    clearTimeout(this.#timer);
    if (!this.#running) return;
    const nowMs = performance.now();
    this.#nextAtMs = Math.max(this.#nextAtMs + this.#asking.intervalMs, nowMs);
    this.#timer = setTimeout(() => this.#ask(), this.#nextAtMs - nowMs);
  }

  #ask(): void {
    const sent = this.#line.write(this.#asking.question());
    this.#waiting = sent;
    if (!sent) {
      this.#later();
      return;
    }
    this.#timer = setTimeout(() => {
      this.#waiting = false;
      this.#asking.unanswered(this.#line.nowUs());
      this.#later();
    }, this.#asking.timeoutMs);
  }
}
