import type { HoldRun, LiveEnd, LiveRun, RunNews } from '../../bench/index.js';
import { type OperatorAct, type PhaseName, type PromptKey, promptFor } from '../../holdtest/index.js';
import type { TestPlan } from '../../procedure/index.js';
import type { UnitSystem } from '../../units/index.js';
import { dialogueOf, scannedText, stop } from './act-dialogues.js';
import { benchScreen } from './bench-screen.js';
import { BenchMemory, type BenchView } from './bench-view.js';
import { begin, type Dialogue, dialogueLines, type Key, type OpenDialogue, press, pressScanned } from './dialogue.js';
import type { Line } from './frame.js';
import { type KeyHelp, keyHelp } from './key-help.js';
import { actOfKey, helpOf, type KeyMap } from './key-words.js';
import { fitFrame } from './paint-line.js';
import type { Sound } from './sounds.js';
import type { Terminal } from './terminal.js';

export interface SessionAsk {
  /** What it needs of a terminal. */
  readonly terminal: Pick<Terminal, 'size' | 'terms' | 'listen' | 'draw' | 'play' | 'hush'>;
  readonly header: BenchView['header'];
  readonly plan: TestPlan;
  readonly system: UnitSystem;
  readonly hold: HoldRun;
  readonly live: LiveRun;
  /** More keys of the shop. */
  readonly keys: KeyMap;
  /** No sound from the start. */
  readonly mute: boolean;
}

/** At most eight redraws a second; a gauge at 10 Hz moves no faster than the eye. */
const redrawMs = 125;
const flashMs = 600;
/** A standing alarm sounds again after so long. */
const ringAgainMs = 5000;
/** Keys that follow a question which closed by itself were meant for it. */
const closedMs = 1500;

/** Dialogues that make sense only in the phase they were opened in. */
const boundToPhase: readonly PromptKey[] = ['force', 'end-dwell', 'inspected', 'continue'];

/** What a dialogue at the bench comes to: an act, or the end of the test without the bleed-down. */
type Outcome = OperatorAct | { readonly kind: 'end now' } | { readonly kind: 'finish' };

/** A test on a full screen: keys become acts, news become pictures. */
export class BenchSession {
  readonly #memory = new BenchMemory();
  #set: SessionAsk | null = null;
  #open: OpenDialogue<Outcome> | null = null;
  /** The phase in which the open dialogue was asked for, when it asks for the way on from there. */
  #openFor: PhaseName | null = null;
  /** Page of the list of keys; null: not shown. */
  #help: number | null = null;
  #helpLast = true;
  #bell = true;
  #flashUntilMs = 0;
  #rangAtMs = 0;
  #closedAtMs = Number.NEGATIVE_INFINITY;
  #dirty = true;
  #drawnAtMs = 0;

  /** The news of the run, from its first input on. */
  readonly tell = (news: RunNews): void => {
    this.#memory.take(news);
    this.#dirty = true;
    if (this.#openFor !== null && news.state.phase.name !== this.#openFor) this.#closeOpen();
    const sound = this.#memory.heard();
    if (sound === null) return;
    this.#flashUntilMs = performance.now() + flashMs;
    this.#ring(sound);
    // An alarm is on the screen at once, not at the next beat.
    if (sound === 'alarm') this.#draw();
  };

  /** Runs the test to its end on the screen. Closing the terminal, or a signal, ends it as interrupted. */
  async run(set: SessionAsk): Promise<LiveEnd> {
    this.#set = set;
    this.#bell = !set.mute;
    const { terminal, live } = set;
    const cutOff = (): void => live.end('interrupted');
    const asked = (): void => this.#askStop();
    process.on('SIGINT', asked);
    for (const signal of ['SIGTERM', 'SIGHUP'] as const) process.on(signal, cutOff);
    terminal.listen({
      key: (key) => this.#key(key),
      scanned: (text, entered) => this.#scanned(text, entered),
      resized: () => this.#draw(),
      hungUp: cutOff,
    });
    const timer = setInterval(() => this.#tick(), redrawMs);
    try {
      return await live.run();
    } finally {
      clearInterval(timer);
      process.off('SIGINT', asked);
      for (const signal of ['SIGTERM', 'SIGHUP'] as const) process.off(signal, cutOff);
    }
  }

  #tick(): void {
    const now = performance.now();
    const standing = (this.#set?.hold.state.alarms.length ?? 0) > 0;
    if (standing && now - this.#rangAtMs > ringAgainMs) this.#ring('alarm');
    if (this.#dirty || now - this.#drawnAtMs > 500) this.#draw();
  }

  #ring(sound: Sound): void {
    this.#rangAtMs = performance.now();
    if (this.#bell) this.#set?.terminal.play(sound);
  }

  #draw(): void {
    if (!this.#set) return;
    const { terminal, header, plan, system, hold } = this.#set;
    const { columns, rows } = terminal.size;
    const view: BenchView = {
      ...this.#memory.shown,
      header,
      plan,
      system,
      state: hold.state,
      early: hold.early(),
      stages: hold.stages,
      strokes: hold.strokes,
      result: hold.state.phase.name === 'done' ? hold.result() : null,
      mode: 'bench',
      flash: performance.now() < this.#flashUntilMs,
      bell: this.#bell,
    };
    const frame = benchScreen(view, { columns, rows }, terminal.terms);
    const over = this.#open
      ? dialogueLines(this.#open, columns, Math.max(rows - 10, 8))
      : this.#help !== null
        ? this.#keysPage(helpOf(promptFor(plan, hold.state).keys), { columns, rows })
        : [];
    terminal.draw(fitFrame([...frame.lines.slice(0, Math.max(0, rows - over.length)), ...over], columns, rows));
    this.#dirty = false;
    this.#drawnAtMs = performance.now();
  }

  #keysPage(keys: readonly KeyHelp[], size: { readonly columns: number; readonly rows: number }): Line[] {
    const { lines, last } = keyHelp('Keys', keys, size, this.#help ?? 0);
    this.#helpLast = last;
    return lines;
  }

  #key(key: Key): void {
    if (key.ctrl && key.name === 'c') this.#askStop();
    else if (this.#help !== null) this.#help = this.#helpLast ? null : this.#help + 1;
    else if (this.#open) this.#answer(press(this.#open, key));
    else if (performance.now() - this.#closedAtMs > closedMs) this.#command(key);
    this.#draw();
  }

  /** A card that the shop has given a meaning, or a text to be kept. */
  #scanned(text: string, entered: boolean): void {
    if (!this.#set) return;
    const { plan, hold, keys, header } = this.#set;
    const act = keys.has(text) ? actOfKey(text, promptFor(plan, hold.state).keys, keys) : null;
    if (this.#help !== null) this.#help = null;
    else if (this.#open) this.#answer(pressScanned(this.#open, text, entered));
    else if (act !== null) this.#do(act);
    else if (!keys.has(text)) this.#ask(scannedText(text, header.cylinder.serial));
    this.#draw();
  }

  #command(key: Key): void {
    if (!this.#set) return;
    const { plan, hold, keys } = this.#set;
    if (key.text === '?' || key.text === '*' || key.name === 'h') {
      this.#help = 0;
      return;
    }
    if (key.name === 'm' || key.text === '-') {
      this.#bell = !this.#bell;
      if (!this.#bell) this.#set.terminal.hush();
      return;
    }
    const act = actOfKey(key.name === '' ? key.text : key.name, promptFor(plan, hold.state).keys, keys);
    if (act !== null) this.#do(act);
  }

  #do(act: PromptKey): void {
    if (!this.#set) return;
    const { plan, system, hold } = this.#set;
    if (act === 'stop') return this.#askStop();
    if (act === 'continue' && hold.state.phase.name === 'done') return this.#ask(finish);
    const phase = hold.state.phase.name;
    this.#ask(dialogueOf(act, { plan, system, phase, facts: hold.state.facts }));
    this.#openFor = this.#open !== null && boundToPhase.includes(act) ? phase : null;
  }

  #ask(dialogue: Dialogue<Outcome>): void {
    this.#answer(begin(dialogue));
  }

  /** What it asked about is over: the phase has moved on by itself. */
  #closeOpen(): void {
    this.#open = null;
    this.#openFor = null;
    this.#closedAtMs = performance.now();
  }

  #answer(answered: ReturnType<typeof begin<Outcome>>): void {
    this.#open = 'open' in answered ? answered.open : null;
    if (this.#open === null) this.#openFor = null;
    if (!('outcome' in answered)) return;
    const { outcome } = answered;
    if (outcome.kind === 'end now') this.#set?.live.end('stopped');
    else if (outcome.kind === 'finish') this.#set?.live.end('complete');
    else this.#set?.live.act(outcome);
  }

  /** Asks before a stop; while a stopped test still watches the bleed-down, whether to end it at once. */
  #askStop(): void {
    const phase = this.#set?.hold.state.phase.name;
    const over = this.#set?.live.stopAsked === true || phase === 'bleed-down';
    this.#ask(phase === 'done' ? finish : over ? endNow : stop);
    this.#draw();
  }
}

const endNow: Dialogue<Outcome> = {
  title: 'End the test now',
  next: ([sure]) =>
    sure === undefined
      ? { question: { kind: 'confirm', ask: 'End it now, without watching the rest of the bleed-down?' } }
      : { outcome: { kind: 'end now' } },
};

const finish: Dialogue<Outcome> = {
  title: 'Finish the test',
  next: ([sure]) =>
    sure === undefined
      ? { question: { kind: 'confirm', ask: 'Finish it, and seal the record? No port can be repeated after that.' } }
      : { outcome: { kind: 'finish' } },
};
