import {
  FaultEpisodes,
  faultAt,
  type GaugeDescription,
  type GaugeDriver,
  type GaugeFault,
  type GaugeItem,
  ItemQueue,
  type Trouble,
} from '../../src/gauge/index.js';

/** The way to the instrument: a serial port, or a connection. Time is whole microseconds since `open`, rising. */
export interface PolledLine {
  open(): Promise<void>;
  close(): Promise<void>;
  /** Sends bytes; false when the device is gone just now. */
  write(bytes: Buffer): boolean;
  nowUs(): number;
}

/** What a line hears, given to whoever makes it. */
export interface PolledListener {
  bytes(piece: Buffer, timeUs: number): void;
  fault(fault: GaugeFault): void;
  reopened(): void;
}

/** How one kind of instrument is asked and answers. */
export interface Dialogue {
  /** The bytes of the next question. What came before it is forgotten: the next byte begins an answer. */
  question(): Buffer;
  /** Bytes as they come, whether or not an answer is due. Each whole answer is reported to {@link Exchange.answer}. */
  take(piece: Buffer, timeUs: number): void;
  /** Something that could be the head of an answer stands behind the last whole one. */
  readonly unfinished: boolean;
  /** The answer did not come in time: what is wrong. What has come so far is half an answer and is forgotten. */
  unanswered(timeUs: number): Trouble;
  /** The device was gone and is back. */
  restart(): void;
}

/** What a dialogue can say. */
export interface Exchange {
  /**
   * A whole answer is in, good or bad. True: it answers the question that was asked last. False: it is late, doubled
   * or unasked, and no reading, whatever it says.
   */
  answer(timeUs: number): boolean;
  /** The tail of an answer that was asked for before: no reading, and an answer that is due may still come. */
  late(timeUs: number): false;
  push(item: GaugeItem): void;
  /** Trouble of one answer; none when it had none. */
  report(timeUs: number, trouble: readonly Trouble[]): void;
}

interface Timing {
  /** Readings asked for a second. */
  readonly ratePerS: number;
  /** How long an answer may take, ms. */
  readonly timeoutMs: number;
}

/** No byte for so long, ms, and what came before is over: a USB adapter gathers bytes for up to 16 ms. */
const quietMs = 50;
/** A time-out that comes so much later than asked for, ms, says that this program was held up; then what came is read. */
const heldUpMs = 20;
const readMs = 60;
/** A line that is not quiet for so long, ms, carries something else than answers. */
const neverQuietMs = 1000;

/**
 * A gauge that is asked for each reading, in a steady beat: the next question waits for the answer to this one and for
 * its turn; a device that is slower is asked as fast as it answers.
 *
 * Theory of operation. An answer carries nothing that says which question it answers, so the two are paired by order,
 * and the pairing must hold: after a time-out the missing answer may still come, in whole or its tail. Nothing is asked
 * until it has come or twice the time-out has passed again, and until the line is quiet. The
 * answer to the next question only shows that the two are in step again: it is no reading. Bytes that nobody asked for
 * (a doubled answer, noise) make the next question wait for a quiet line. A line keeps the order of its bytes, so what
 * is taken for an answer was sent in answer to that question, and no tail is ever taken for the whole.
 */
export class PolledGauge implements GaugeDriver {
  readonly #line: PolledLine;
  readonly #dialogue: Dialogue;
  readonly #describe: () => GaugeDescription;
  readonly #timing: Timing;
  readonly #queue = new ItemQueue();
  readonly #episodes = new FaultEpisodes();
  #timer: NodeJS.Timeout | undefined;
  #running = false;
  /** An answer is due. */
  #due = false;
  /** The answer that is due is a reading; false while question and answer get into step. */
  #inStep = true;
  #nextAtMs = 0;
  /** Until when an answer that did not come in time may still come; 0 when none is missing. */
  #missingUntilMs = 0;
  /** When the first and the last byte came that nobody had asked for; 0 when none has since the last question. */
  #strayFromMs = 0;
  #strayMs = 0;
  /** Said once until an answer counts again. */
  readonly #said = new Set<string>();

  constructor(parts: {
    readonly timing: Timing;
    line(listener: PolledListener): PolledLine;
    dialogue(exchange: Exchange): Dialogue;
    describe(): GaugeDescription;
  }) {
    this.#timing = parts.timing;
    this.#describe = parts.describe;
    this.#line = parts.line({
      bytes: (piece, timeUs) => this.#take(piece, timeUs),
      fault: (fault) => {
        if (fault.code === 'unplugged') this.#stop();
        this.#queue.push({ kind: 'fault', fault });
      },
      reopened: () => {
        this.#dialogue.restart();
        this.#start();
      },
    });
    this.#dialogue = parts.dialogue({
      answer: (timeUs) => this.#answer(timeUs),
      late: (timeUs) => (this.#due ? false : this.#unasked(timeUs)),
      push: (item) => this.#queue.push(item),
      report: (timeUs, trouble) => this.#report(timeUs, trouble),
    });
  }

  async open(): Promise<GaugeDescription> {
    await this.#line.open();
    this.#start();
    return this.#describe();
  }

  items(): AsyncIterable<GaugeItem> {
    return this.#queue;
  }

  async close(): Promise<void> {
    this.#stop();
    await this.#line.close();
    this.#queue.end();
  }

  /** Begins on a quiet line: what an earlier program asked for may still be on its way. */
  #start(): void {
    const nowMs = performance.now();
    this.#running = true;
    this.#inStep = true;
    this.#missingUntilMs = 0;
    this.#strayFromMs = nowMs;
    this.#strayMs = nowMs;
    this.#nextAtMs = nowMs;
    this.#askInTurn();
  }

  #stop(): void {
    this.#running = false;
    this.#due = false;
    clearTimeout(this.#timer);
  }

  #take(piece: Buffer, timeUs: number): void {
    this.#dialogue.take(piece, timeUs);
    if (!this.#due && this.#dialogue.unfinished) this.#noteStray();
  }

  #noteStray(): void {
    const nowMs = performance.now();
    if (this.#strayMs === 0) this.#strayFromMs = nowMs;
    this.#strayMs = nowMs;
  }

  #answer(timeUs: number): boolean {
    if (!this.#due) return this.#unasked(timeUs);
    if (this.#dialogue.unfinished) this.#noteStray();
    this.#due = false;
    const counts = this.#inStep;
    this.#inStep = true;
    if (counts) this.#said.clear();
    this.#later();
    return counts;
  }

  #unasked(timeUs: number): false {
    this.#noteStray();
    if (this.#missingUntilMs > 0) this.#say(timeUs, 'the gauge answers too late: set timeout_ms higher');
    this.#missingUntilMs = 0;
    return false;
  }

  #say(timeUs: number, text: string): void {
    if (this.#said.has(text)) return;
    this.#said.add(text);
    this.#queue.push({ kind: 'fault', fault: faultAt(timeUs, 'exception', text) });
  }

  #report(timeUs: number, trouble: readonly Trouble[]): void {
    for (const fault of this.#episodes.of(timeUs, trouble)) this.#queue.push({ kind: 'fault', fault });
  }

  #later(): void {
    clearTimeout(this.#timer);
    const nowMs = performance.now();
    this.#nextAtMs = Math.max(this.#nextAtMs + 1000 / this.#timing.ratePerS, nowMs);
    this.#timer = setTimeout(() => this.#askInTurn(), this.#nextAtMs - nowMs);
  }

  /** Asks as soon as no missing answer may come any more and the line is quiet. */
  #askInTurn(): void {
    clearTimeout(this.#timer);
    if (!this.#running) return;
    const nowMs = performance.now();
    const quietAtMs = this.#strayMs === 0 ? 0 : this.#strayMs + quietMs;
    const waitMs = Math.max(this.#missingUntilMs, quietAtMs) - nowMs;
    if (waitMs <= 0) return this.#ask();
    if (this.#strayMs > 0 && this.#strayMs - this.#strayFromMs > neverQuietMs)
      this.#say(
        this.#line.nowUs(),
        'the line is never quiet: does the gauge send by itself, or does another program ask?',
      );
    this.#timer = setTimeout(() => this.#askInTurn(), Math.min(waitMs, quietMs));
  }

  #ask(): void {
    this.#missingUntilMs = 0;
    this.#strayMs = 0;
    // The rest of it may come now, and would be taken for an answer.
    if (this.#dialogue.unfinished) this.#inStep = false;
    if (!this.#line.write(this.#dialogue.question())) return this.#later();
    this.#due = true;
    const lateMs = performance.now() + this.#timing.timeoutMs + heldUpMs;
    this.#timer = setTimeout(() => {
      // Where this program was held up the answer may be there, unread: it is read before it counts as missing.
      if (performance.now() < lateMs) this.#timedOut();
      else this.#timer = setTimeout(() => this.#timedOut(), readMs);
    }, this.#timing.timeoutMs);
  }

  #timedOut(): void {
    this.#due = false;
    this.#inStep = false;
    const timeUs = this.#line.nowUs();
    this.#report(timeUs, [this.#dialogue.unanswered(timeUs)]);
    this.#missingUntilMs = performance.now() + 2 * this.#timing.timeoutMs;
    this.#askInTurn();
  }
}
