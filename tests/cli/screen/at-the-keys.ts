import { setImmediate as breathe } from 'node:timers/promises';
import { HoldRun, type LiveEnd, LiveRun } from '../../../src/bench/index.js';
import { BenchSession } from '../../../src/cli/screen/bench-session.js';
import type { Frame } from '../../../src/cli/screen/frame.js';
import type { KeyMap } from '../../../src/cli/screen/key-words.js';
import { frameText } from '../../../src/cli/screen/paint-line.js';
import type { Sound } from '../../../src/cli/screen/sounds.js';
import type { TerminalEvents } from '../../../src/cli/screen/terminal.js';
import { Judgement, type TestResult } from '../../../src/evaluation/index.js';
import { type GaugeDriver, ItemQueue, pressurePa } from '../../../src/gauge/index.js';
import type { HoldState } from '../../../src/holdtest/index.js';
import type { TestPlan } from '../../../src/procedure/index.js';
import { unitSystems } from '../../../src/units/index.js';

const special: Readonly<Record<string, string>> = { '\n': 'return', '\u001b': 'escape' };

/** A test on a bench whose gauge shows what it is told, at 10 Hz; a terminal that has keys and keeps what is drawn. */
export class AtTheKeys {
  readonly #queue = new ItemQueue();
  readonly #hold: HoldRun;
  readonly #ended: Promise<LiveEnd>;
  #events: TerminalEvents = { key: () => {}, resized: () => {}, hungUp: () => {} };
  #frame: Frame = { columns: 80, lines: [] };
  #timeUs = 0;
  /** The sounds so far. */
  heard: Sound[] = [];

  constructor(plan: TestPlan, more: KeyMap = new Map()) {
    const session = new BenchSession();
    this.#hold = new HoldRun(new Judgement(plan), null, session.tell);
    const driver: GaugeDriver = {
      open: async () => ({ driver: 'told', source: 'a test', unit: 'bar', channels: { opposite: false, oil: false } }),
      items: () => this.#queue,
      close: async () => this.#queue.end(),
    };
    const live = new LiveRun({ driver, hold: this.#hold, endWhenDone: false, giveUpAfterS: null });
    this.#ended = session.run({
      terminal: {
        size: { columns: 80, rows: 24 },
        terms: { colour: false, unicode: true },
        listen: (events) => {
          this.#events = events;
        },
        draw: (frame) => {
          this.#frame = frame;
        },
        play: (sound) => {
          this.heard.push(sound);
        },
        hush: () => {},
      },
      header: {
        test: 'T-2026-0007',
        customer: 'Lower Weir Farm',
        cylinder: { serial: 'LW-77' } as never,
        technician: 'R. Sand',
        origin: 'live',
      },
      plan,
      system: unitSystems.bar,
      hold: this.#hold,
      live,
      keys: more,
      mute: false,
    });
  }

  /** What the gauge shows from now on, bar, a tenth of a second each. */
  async shows(...bars: readonly number[]): Promise<void> {
    for (const bar of bars) {
      this.#timeUs += 100_000;
      const reading = {
        timeUs: this.#timeUs,
        pressurePa: pressurePa(bar * 1e5),
        oppositePa: null,
        oilK: null,
        flags: 0,
      };
      this.#queue.push({ kind: 'reading', reading });
    }
    while (this.#hold.lastUs < this.#timeUs) await breathe();
  }

  async holds(bar: number, seconds: number): Promise<void> {
    await this.shows(...Array(Math.round(seconds * 10)).fill(bar));
  }

  /** Presses keys, one a letter; `\n` is Enter, `\u001b` Escape. */
  keys(text: string): void {
    for (const letter of text) {
      const name = special[letter];
      this.#events.key({ name: name ?? letter, ctrl: false, text: name === undefined ? letter : '' });
    }
  }

  /** A scanner types a text and Enter, all at once. */
  scans(text: string): void {
    this.#events.scanned?.(text, true);
  }

  /** The screen as it stands now. */
  get screen(): string {
    this.#events.resized();
    return frameText(this.#frame).join('\n').replaceAll('\u00a0', ' ');
  }

  get state(): HoldState {
    return this.#hold.state;
  }

  get result(): TestResult {
    return this.#hold.result();
  }

  /** How the test ended; it waits for that. */
  get ended(): Promise<LiveEnd> {
    return this.#ended;
  }

  /** Ends it, if nobody has. */
  async leave(): Promise<void> {
    this.#queue.end();
    await this.#ended;
  }

  /** Vented and continued, zero taken, pumped up to 61 bar and settled into the dwell. */
  async toDwell(): Promise<void> {
    await this.holds(0, 1.5);
    this.keys('\n');
    await this.holds(0, 1.5);
    await this.shows(...Array.from({ length: 61 }, (_, bar) => bar));
    await this.holds(61, 6);
  }
}
