import type { TestPlan } from '../../../procedure/index.js';
import type { UnitSystem } from '../../../units/index.js';
import { begin, dialogueLines, type Key, type OpenDialogue, press, pressScanned } from '../dialogue.js';
import { type KeyHelp, keyHelp } from '../key-help.js';
import { fitFrame } from '../paint-line.js';
import type { Terminal } from '../terminal.js';
import { type GoTo, goToDialogue } from './go-to.js';
import { Player } from './player.js';
import { type ReplayView, replayScreen } from './replay-screen.js';
import type { Tape } from './tape.js';

export interface ReplayAsk {
  readonly terminal: Terminal;
  readonly tape: Tape;
  readonly system: UnitSystem;
  readonly speed: number;
  /** Another plan to judge by beside the original, and what it is called. */
  readonly other: { readonly plan: TestPlan; readonly name: string } | null;
  readonly comparison: string;
}

const redrawMs = 125;

const keys: readonly KeyHelp[] = [
  ['Space or Enter', 'go on, or stand still'],
  ['+ and -', 'faster, slower (arrows up and down too)'],
  ['arrow right, left', 'to the next event, to the one before (. and , too)'],
  ['g', 'go to a phase or to a time'],
  ['Home, End', 'to the beginning, to the end with the verdicts'],
  ['q or Esc', 'leave; the verdict is printed then'],
];

/** A replay on a full screen, until somebody leaves it. */
export class ReplaySession {
  readonly #set: ReplayAsk;
  readonly #player: Player;
  readonly #marksS: readonly number[];
  #open: OpenDialogue<GoTo> | null = null;
  #help = false;
  #leave: () => void = () => {};
  #advancedAtMs = performance.now();

  constructor(set: ReplayAsk) {
    this.#set = set;
    this.#player = new Player(set.tape, { speed: set.speed, other: set.other?.plan ?? null });
    this.#marksS = set.tape.marks.map(({ timeUs }) => (timeUs - set.tape.startUs) / 1e6);
  }

  async run(): Promise<void> {
    const left = new Promise<void>((resolve) => {
      this.#leave = resolve;
    });
    const leave = (): void => this.#leave();
    for (const signal of ['SIGTERM', 'SIGHUP'] as const) process.on(signal, leave);
    this.#set.terminal.listen({
      key: (key) => this.#key(key),
      scanned: (text, entered) => this.#scanned(text, entered),
      resized: () => this.#draw(),
      hungUp: leave,
    });
    this.#draw();
    const timer = setInterval(() => this.#tick(), redrawMs);
    await left;
    clearInterval(timer);
    for (const signal of ['SIGTERM', 'SIGHUP'] as const) process.off(signal, leave);
  }

  #tick(): void {
    const now = performance.now();
    const seconds = (now - this.#advancedAtMs) / 1000;
    this.#advancedAtMs = now;
    if (this.#player.paused || this.#open) return;
    this.#player.advance(seconds);
    this.#draw();
  }

  #key(key: Key): void {
    if (key.ctrl && key.name === 'c') return this.#leave();
    if (this.#help) this.#help = false;
    else if (this.#open) this.#answer(press(this.#open, key));
    else this.#command(key);
    this.#draw();
  }

  #scanned(text: string, entered: boolean): void {
    if (this.#open) this.#answer(pressScanned(this.#open, text, entered));
    this.#draw();
  }

  #command(key: Key): void {
    const player = this.#player;
    if (key.name === 'q' || key.name === 'escape') this.#leave();
    else if (key.name === 'space' || key.name === 'return' || key.name === 'enter') player.pause();
    else if (key.name === 'right' || key.text === '.') player.nextEvent();
    else if (key.name === 'left' || key.text === ',') player.previousEvent();
    else if (key.name === 'home') player.toTime(0);
    else if (key.name === 'end') player.toIndex(player.tape.inputs.length - 1);
    else if (key.text === '+' || key.name === 'up') player.changeSpeed(1);
    else if (key.text === '-' || key.name === 'down') player.changeSpeed(-1);
    else if (key.name === 'g') this.#answer(begin(goToDialogue(player.tape)));
    else if (key.text === '?' || key.name === 'h') this.#help = true;
  }

  #answer(answered: ReturnType<typeof begin<GoTo>>): void {
    this.#open = 'open' in answered ? answered.open : null;
    if (!('outcome' in answered)) return;
    const { outcome } = answered;
    if ('index' in outcome) this.#player.toIndex(outcome.index);
    else this.#player.toTime(outcome.s);
  }

  #draw(): void {
    const { terminal } = this.#set;
    const { columns, rows } = terminal.size;
    const frame = replayScreen(this.#view(), { columns, rows }, terminal.terms);
    const over = this.#help
      ? keyHelp('Keys of the replay', keys, { columns, rows }).lines
      : this.#open
        ? dialogueLines(this.#open, columns, Math.max(rows - 10, 8))
        : [];
    terminal.draw(fitFrame([...frame.lines.slice(0, Math.max(0, rows - over.length)), ...over], columns, rows));
  }

  #view(): ReplayView {
    const { system, other, comparison } = this.#set;
    const player = this.#player;
    return {
      own: player.view(system),
      beside: player.viewBeside(system),
      besideName: other?.name ?? '',
      at: player.at,
      speed: player.speed,
      paused: player.paused,
      marksS: this.#marksS,
      comparison,
    };
  }
}
