import type { EarlyWord, Judgement, StageResult, StrokeResult, TestResult } from '../evaluation/index.js';
import type { GaugeItem } from '../gauge/index.js';
import type { HoldEffect, HoldInput, HoldState, OperatorAct } from '../holdtest/index.js';
import type { SealMark, TestWriter } from '../record/index.js';

/** The clocks are held together again no more often than this: to ask the system for the time costs more than a reading. */
const clockStepUs = 1000;

/** What somebody watching a run is told after each input. */
export interface RunNews {
  readonly input: HoldInput;
  readonly state: HoldState;
  readonly effects: readonly HoldEffect[];
}

/**
 * A hold test under way: inputs go to the record first and then to the judgement, in one order, so that a replay of
 * the record sees what the judgement saw. Without a writer nothing is kept.
 */
export class HoldRun {
  readonly #judgement: Judgement;
  readonly #writer: TestWriter | null;
  readonly #tell: (news: RunNews) => void;
  #lastUs = 0;
  /** Gauge's clock and this computer's, held together when a reading comes. */
  #clockUs = -clockStepUs;
  #clockAtMs = 0;

  constructor(judgement: Judgement, writer: TestWriter | null, tell: (news: RunNews) => void = () => {}) {
    this.#judgement = judgement;
    this.#writer = writer;
    this.#tell = tell;
  }

  get state(): HoldState {
    return this.#judgement.state;
  }

  /** Time of the newest reading or fault, microseconds on the gauge's clock. */
  get lastUs(): number {
    return this.#lastUs;
  }

  /** Stages judged so far in the attempt under way. */
  get stages(): readonly StageResult[] {
    return this.#judgement.stages;
  }

  /** Slow strokes read so far in the attempt under way. */
  get strokes(): readonly StrokeResult[] {
    return this.#judgement.strokes;
  }

  early(): EarlyWord | null {
    return this.#judgement.early();
  }

  result(): TestResult {
    return this.#judgement.result();
  }

  /** One item from the driver. Raw lines are kept beside the readings and judged by nobody. */
  take(item: GaugeItem): void {
    if (item.kind === 'reading') this.#feed({ kind: 'reading', reading: item.reading }, item.reading.timeUs);
    else if (item.kind === 'fault') this.#feed({ kind: 'fault', fault: item.fault }, item.fault.timeUs);
    else this.#writer?.rawLine(item);
  }

  /** What a person did: at a time on the gauge's clock, or now, as far as the last reading tells it. */
  act(act: OperatorAct, timeUs: number = this.#nowUs()): void {
    this.#feed({ kind: 'operator', timeUs, act }, null);
  }

  /** An input that happened before, or elsewhere: out of the record. It is judged and told, and not written again. */
  feed(input: HoldInput): void {
    if (input.kind === 'reading') this.#lastUs = Math.max(this.#lastUs, input.reading.timeUs);
    this.#tell({ input, effects: this.#judgement.add(input), state: this.#judgement.state });
  }

  end(why: Extract<HoldInput, { kind: 'end' }>['why']): void {
    this.#feed({ kind: 'end', timeUs: this.#lastUs, why }, null);
  }

  /** Puts on disk what has come so far; once a second by the wall clock. */
  flush(): void {
    this.#writer?.flush();
  }

  /** Seals the record with the result. Null without a writer. */
  seal(): SealMark | null {
    return this.#writer?.finish(this.result()) ?? null;
  }

  #feed(input: HoldInput, timeUs: number | null): void {
    if (timeUs !== null) {
      this.#lastUs = Math.max(this.#lastUs, timeUs);
      if (this.#lastUs - this.#clockUs >= clockStepUs) {
        this.#clockUs = this.#lastUs;
        this.#clockAtMs = performance.now();
      }
    }
    this.#writer?.append(input);
    const effects = this.#judgement.add(input);
    this.#tell({ input, state: this.#judgement.state, effects });
  }

  #nowUs(): number {
    if (this.#clockUs < 0) return this.#lastUs;
    return Math.max(this.#lastUs, this.#clockUs + Math.round((performance.now() - this.#clockAtMs) * 1000));
  }
}
