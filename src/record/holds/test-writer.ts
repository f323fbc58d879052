import type { TestResult } from '../../evaluation/index.js';
import type { HoldInput } from '../../holdtest/index.js';
import { DwellmarkError } from '../../units/index.js';
import {
  canonicalBytes,
  decodeReadings,
  encodeReadings,
  GatheredReadings,
  holdsReadings,
  type Link,
  type LinkKind,
  linkHead,
  linkKinds,
  readingsKind,
  traceStart,
} from '../chain/index.js';
import { isBusy, storageError } from '../file/index.js';
import { isoWithOffset } from '../ledger/index.js';
import type { SealMark, TestSeal } from '../seal.js';
import { LinePacker, type RawLine } from './line-encoding.js';
import { linkAdder, storedLinks } from './link-store.js';
import { sealTest, type WriterSetting } from './seal-test.js';
import { wordsOf } from './search-index.js';
import { parsedInput } from './trace-reader.js';

interface Waiting {
  readonly kind: LinkKind;
  readonly payload: Uint8Array;
  /** Readings it holds, and inputs (readings among them). */
  readonly readings: number;
  readonly inputs: number;
}

/** Raw lines in one link at most: what is packed at once stays small, however fast they come. */
const linesInLink = 1500;

/**
 * Takes the inputs of one test, in order, and commits them link by link. What {@link stored} counts is on disk.
 * `append` gathers; `flush` commits what was gathered (the bench calls it once a second by the wall clock, so that a
 * gauge that falls silent leaves nothing in memory); `finish` seals.
 */
export class TestWriter {
  readonly #set: WriterSetting;
  readonly #addLink: (link: Link, head: Uint8Array) => void;
  /** One commit; made once, for it is made of many parts. */
  readonly #addLinks: (add: () => void) => void;
  #head: Buffer;
  #seq = 0;
  #readings = 0;
  #inputs = 0;
  #firstUs: number | null = null;
  #lastUs: number | null = null;
  #cursor = traceStart();
  readonly #gathered = new GatheredReadings();
  /** Time of the first reading that is not on disk, and how many are not. */
  #waitingSinceUs: number | null = null;
  #waitingReadings = 0;
  readonly #lines = new LinePacker();
  #waiting: Waiting[] = [];
  #notes: string[] = [];
  #clockOffsetMs: number | undefined;
  #state: 'open' | 'failed' | 'sealed' = 'open';

  constructor(setting: WriterSetting) {
    this.#set = setting;
    this.#head = setting.headerHead;
    this.#addLink = linkAdder(setting.db, setting.testId);
    this.#addLinks = setting.db.transaction((add: () => void) => add()).immediate;
    this.#goOn();
  }

  get test(): string {
    return this.#set.header.test;
  }

  /** How much is on disk: readings, all inputs (readings among them), links of the chain. */
  get stored(): { readonly readings: number; readonly inputs: number; readonly links: number } {
    return { readings: this.#readings, inputs: this.#inputs, links: this.#seq };
  }

  /** Head of the chain as far as it is on disk, hex. */
  get chainHead(): string {
    return this.#head.toString('hex');
  }

  /** Takes the next input. @throws DwellmarkError when a commit that was due fails; nothing can be appended after that. */
  append(input: HoldInput): void {
    this.#demandOpen();
    const { commitEvery: due } = this.#set;
    if (input.kind !== 'reading') {
      this.#closeChunk();
      this.#wait(linkKinds.input, canonicalBytes(input), 0, 1);
      this.#notes.push(...wordsOf(input));
      if (due.actsAtOnce || this.#waiting.length >= 256) this.flush();
      return;
    }
    const { timeUs } = input.reading;
    this.#gathered.add(input.reading);
    this.#waitingReadings += 1;
    this.#waitingSinceUs ??= timeUs;
    if (timeUs - this.#waitingSinceUs >= due.seconds * 1e6 || this.#waitingReadings >= due.readings) this.flush();
    else if (this.#gathered.length >= due.chunk) this.#closeChunk();
  }

  /** Keeps a line as it came over the wire; lines are chained too, and committed with the inputs around them. */
  rawLine(line: RawLine): void {
    this.#demandOpen();
    this.#lines.add(line);
    if (this.#lines.count >= linesInLink) this.#closeLines();
  }

  /**
   * Commits what was gathered: when it returns, everything appended so far is on disk, unless another program kept the
   * file busy: then it waits for the next commit, and {@link stored} does not count it.
   */
  flush(last = false): void {
    this.#demandOpen();
    this.#closeChunk();
    if (this.#lines.count > 0) this.#closeLines();
    if (this.#waiting.length === 0) return;
    this.#markClock();
    let [head, seq] = [this.#head, this.#seq];
    try {
      this.#addLinks(() => {
        for (const { kind, payload } of this.#waiting) {
          seq += 1;
          const link = { seq, kind, payload };
          head = linkHead(head, link);
          this.#addLink(link, head);
        }
      });
    } catch (cause) {
      // What waits is not counted as stored, and goes with the next commit.
      if (isBusy(cause) && !last) return;
      this.#state = 'failed';
      throw storageError(cause, this.#set.path);
    }
    this.#head = head;
    this.#seq = seq;
    for (const { readings, inputs } of this.#waiting) {
      this.#readings += readings;
      this.#inputs += inputs;
    }
    this.#waiting = [];
    this.#waitingReadings = 0;
    this.#waitingSinceUs = null;
  }

  /** Seals the test with its result. Afterwards nothing can be added to it, only said about it in the ledger. */
  finish(result: TestResult): SealMark {
    this.flush(true);
    const seal: TestSeal = {
      format: 'dwellmark seal 1',
      test: this.test,
      header: this.#set.headerHead.toString('hex'),
      chain: this.chainHead,
      links: this.#seq,
      readings: this.#readings,
      inputs: this.#inputs,
      firstUs: this.#firstUs,
      lastUs: this.#lastUs,
      sealedAt: isoWithOffset(this.#set.clocks.now()),
      result,
    };
    try {
      const mark = sealTest(this.#set, seal, this.#head, this.#notes);
      this.#state = 'sealed';
      this.#set.sealed();
      return mark;
    } catch (cause) {
      this.#state = 'failed';
      throw storageError(cause, this.#set.path);
    }
  }

  /** Takes up where the stored links of an unsealed test end. */
  #goOn(): void {
    for (const link of storedLinks(this.#set.db, this.#set.testId)) {
      this.#head = linkHead(this.#head, link);
      this.#seq = link.seq;
      if (link.head && !link.head.equals(this.#head))
        throw new DwellmarkError(
          'altered',
          `the stored part of test ${this.test} does not fit its chain at entry ${link.seq}`,
          {
            advice: 'Leave it as it is and run `dwellmark verify --all`.',
          },
        );
      if (link.kind === linkKinds.input) {
        this.#inputs += 1;
        this.#notes.push(...wordsOf(parsedInput(link.payload)));
      }
      if (link.kind === linkKinds.lineColumns) this.#lines.passed(link.payload);
      if (holdsReadings(link.kind)) {
        const readings = decodeReadings(link, this.#cursor);
        this.#span(readings.timeUs[0], readings.timeUs.at(-1));
        this.#readings += readings.length;
        this.#inputs += readings.length;
      }
    }
  }

  #closeChunk(): void {
    const count = this.#gathered.length;
    if (count === 0) return;
    const readings = this.#gathered.columns();
    this.#span(readings.timeUs[0], readings.timeUs[count - 1]);
    this.#wait(readingsKind, encodeReadings(readings, this.#cursor), count, count);
    this.#gathered.clear();
  }

  #closeLines(): void {
    this.#wait(linkKinds.lineColumns, this.#lines.done(), 0, 0);
  }

  #wait(kind: LinkKind, payload: Uint8Array, readings: number, inputs: number): void {
    this.#waiting.push({ kind, payload, readings, inputs });
  }

  #span(firstUs: number | undefined, lastUs: number | undefined): void {
    this.#firstUs ??= firstUs ?? null;
    this.#lastUs = lastUs ?? this.#lastUs;
  }

  /** A step of the wall clock by more than a second against the monotonic clock is put down beside the readings. */
  #markClock(): void {
    const { now, monotonicMs } = this.#set.clocks;
    const [wall, monotonic] = [now(), monotonicMs()];
    const offset = wall.getTime() - monotonic;
    if (this.#clockOffsetMs !== undefined && Math.abs(offset - this.#clockOffsetMs) <= 1000) return;
    this.#clockOffsetMs = offset;
    const mark = { monotonicMs: monotonic, at: isoWithOffset(wall) };
    this.#wait(linkKinds.clock, canonicalBytes(mark), 0, 0);
  }

  #demandOpen(): void {
    if (this.#state === 'sealed') throw new Error(`test ${this.test} is sealed`);
    if (this.#state === 'failed') throw new Error(`a commit of test ${this.test} failed before`);
  }
}
