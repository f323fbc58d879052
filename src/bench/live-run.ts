import { setImmediate as breathe, setTimeout as sleep } from 'node:timers/promises';
import { type GaugeDriver, type GaugeItem, readyItems } from '../gauge/index.js';
import type { EndReason, OperatorAct } from '../holdtest/index.js';
import type { HoldRun } from './hold-run.js';

/** How a run at the bench came to its end. */
export interface LiveEnd {
  readonly why: EndReason;
  /** In words, when the gauge was the reason. */
  readonly gaugeFailure: string | null;
}

export interface LiveRunOptions {
  /** Opened already. */
  readonly driver: GaugeDriver;
  readonly hold: HoldRun;
  /** Ends by itself once every port is done; otherwise somebody says when. */
  readonly endWhenDone: boolean;
  /** A gauge that gives nothing for so long is given up, s; null: never, somebody stands there. */
  readonly giveUpAfterS: number | null;
  /** Told which port of the plan is under test, at the start and whenever it changes. */
  readonly onPort?: (port: number) => void;
}

/** Readings are taken without a pause for at most this long, so that keys, the screen and signals get their turn. */
const longestBreathMs = 20;
/** Looked at every second: later than this, ms, says that this program was held up. */
const heldUpMs = 2000;
/** Items between two looks at the clock. */
const itemsBetweenLooks = 64;

/**
 * A hold test at the bench: takes what the driver gives, commits once a second by the wall clock, and ends when the
 * ports are done, when somebody says so, or when the gauge is gone. It never seals: who started it does, with the
 * result.
 */
export class LiveRun {
  readonly #set: LiveRunOptions;
  readonly #ended: Promise<void>;
  #tellEnded: () => void = () => {};
  #why: EndReason | null = null;
  #portIndex: number | null = null;
  #stopAsked = false;
  #gaugeFailure: string | null = null;
  #recordFailure: unknown = null;
  #heardAtMs = performance.now();
  #lookedAtMs = performance.now();
  /** A reading came since the clock was looked at. */
  #heard = false;

  constructor(options: LiveRunOptions) {
    this.#set = options;
    this.#ended = new Promise((resolve) => {
      this.#tellEnded = resolve;
    });
  }

  /**
   * Runs to the end; the driver is closed then.
   * @throws DwellmarkError when the record can't be written any more; what was committed before stands.
   */
  async run(): Promise<LiveEnd> {
    const { driver, hold } = this.#set;
    this.#heardAtMs = this.#lookedAtMs = performance.now();
    this.#turnTo(hold.state.portIndex);
    const everySecond = setInterval(() => this.#everySecond(), 1000);
    try {
      // A driver that does not end when it is closed must not hold up the end of a test.
      await Promise.race([this.#listen(), this.#ended.then(() => sleep(2000, undefined, { ref: false }))]);
    } finally {
      clearInterval(everySecond);
      await driver.close();
    }
    if (this.#recordFailure !== null) throw this.#recordFailure;
    const why = this.#why ?? 'end of trace';
    hold.end(why);
    return { why, gaugeFailure: this.#gaugeFailure };
  }

  /** What a person did. After a stop the test still watches the bleed-down of this port, then it ends. */
  act(act: OperatorAct): void {
    if (act.kind === 'stop') this.#stopAsked = true;
    this.#recorded(() => this.#set.hold.act(act));
    this.#look();
  }

  /** Ends the test now, wherever it stands. */
  end(why: EndReason): void {
    if (this.#why !== null) return;
    this.#why = why;
    this.#tellEnded();
    void this.#set.driver.close();
  }

  get stopAsked(): boolean {
    return this.#stopAsked;
  }

  async #listen(): Promise<void> {
    let breathedAtMs = performance.now();
    let taken = 0;
    try {
      const items = this.#set.driver.items();
      const ready = readyItems(items);
      for await (const first of items) {
        for (let item: GaugeItem | undefined = first; item; item = ready?.takeNow()) {
          if (this.#why !== null) return;
          this.#take(item);
          taken += 1;
          if (taken % itemsBetweenLooks === 0 && performance.now() - breathedAtMs > longestBreathMs) {
            await breathe();
            breathedAtMs = performance.now();
          }
        }
        if (this.#heard) this.#heardAtMs = performance.now();
        this.#heard = false;
      }
      if (this.#why === null) this.#source('the readings ended');
    } catch (cause) {
      this.#source(`the driver failed: ${cause instanceof Error ? cause.message : String(cause)}`);
    }
  }

  #take(item: GaugeItem): void {
    if (item.kind === 'reading') this.#heard = true;
    this.#recorded(() => this.#set.hold.take(item));
    this.#look();
  }

  /** A source that is over: a simulation has an end, a gauge has none. */
  #source(text: string): void {
    if (text !== 'the readings ended') this.#gaugeFailure = text;
    this.#why ??= this.#gaugeFailure === null ? 'end of trace' : 'interrupted';
    this.#tellEnded();
  }

  #look(): void {
    const { phase, portIndex } = this.#set.hold.state;
    this.#turnTo(portIndex);
    if (this.#stopAsked && (phase.name === 'ready' || phase.name === 'done')) this.end('stopped');
    else if (phase.name === 'done' && this.#set.endWhenDone) this.end('complete');
  }

  #turnTo(portIndex: number): void {
    if (portIndex === this.#portIndex) return;
    this.#portIndex = portIndex;
    this.#set.onPort?.(portIndex);
  }

  #everySecond(): void {
    const nowMs = performance.now();
    const heldUp = nowMs - this.#lookedAtMs > heldUpMs;
    this.#lookedAtMs = nowMs;
    this.#recorded(() => this.#set.hold.flush());
    const { giveUpAfterS } = this.#set;
    const silentS = (nowMs - this.#heardAtMs) / 1000;
    // Readings that came meanwhile are taken first.
    if (giveUpAfterS === null || silentS < giveUpAfterS || this.#why !== null || heldUp) return;
    this.#gaugeFailure = `no reading for ${Math.round(silentS)} s`;
    this.end('interrupted');
  }

  /** Once the record takes nothing any more, the test is over: nothing may go on unrecorded. */
  #recorded(work: () => void): void {
    if (this.#recordFailure !== null) return;
    try {
      work();
    } catch (cause) {
      this.#recordFailure = cause;
      this.end('interrupted');
    }
  }
}
