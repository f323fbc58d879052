import { emitKeypressEvents, type Key as NodeKey } from 'node:readline';
import { screenWidth } from '../output.js';
import type { Key } from './dialogue.js';
import type { Frame } from './frame.js';
import { KeyBursts } from './key-bursts.js';
import { frameText, paintLine, type Terms, termsOf, toAscii } from './paint-line.js';
import { type Sound, Sounds } from './sounds.js';

export interface TerminalEvents {
  key(key: Key): void;
  /** What a scanner typed, or a paste; `entered`: with Enter behind it. Absent: it means nothing here. */
  scanned?(text: string, entered: boolean): void;
  /** The window changed its size. */
  resized(): void;
  /** Nobody looks any more: the window was closed, the line dropped. */
  hungUp(): void;
}

/** On a dumb terminal a page that says nothing new is printed again after so long. */
const plainEveryMs = 10_000;

/**
 * The terminal as a screen: an alternate page, redrawn line by line where lines have changed, in one write, so that
 * nothing flickers. Gives everything back when closed. A dumb terminal gets the page as plain lines, whenever something
 * other than figures has changed on it, and now and then.
 */
export class Terminal {
  readonly terms: Terms;
  #events: TerminalEvents = { key: () => {}, resized: () => {}, hungUp: () => {} };
  #shown: string[] = [];
  #printedAtMs = Number.NEGATIVE_INFINITY;
  readonly #bursts = new KeyBursts({
    key: (key) => this.#events.key(key),
    scanned: (text, entered) => this.#events.scanned?.(text, entered),
  });
  readonly #sounds = new Sounds(() => {
    if (this.alive) this.#write('\u0007');
  });
  #dead = false;
  #open = true;
  /** Frames written, and those of them that drew every line. */
  drawn = { frames: 0, whole: 0 };

  constructor() {
    this.terms = termsOf(process.env, process.platform);
    const { stdin, stdout } = process;
    // A terminal that is gone must not end the program before the record is sealed.
    stdout.removeAllListeners('error');
    stdout.on('error', this.#gone);
    process.stderr.on('error', this.#gone);
    stdin.on('error', this.#gone);
    stdin.on('end', this.#gone);
    emitKeypressEvents(stdin);
    stdin.setRawMode(true);
    stdin.on('keypress', this.#keypress);
    stdin.resume();
    stdout.on('resize', this.#resize);
    if (!this.terms.plain) this.#write('\u001b[?1049h\u001b[?25l\u001b[2J');
  }

  get size(): { readonly columns: number; readonly rows: number } {
    return { columns: screenWidth(process.stdout), rows: process.stdout.rows || 24 };
  }

  /** Who hears the keys from now on. */
  listen(events: TerminalEvents): void {
    this.#events = events;
    if (this.#dead) events.hungUp();
  }

  get alive(): boolean {
    return this.#open && !this.#dead;
  }

  draw(frame: Frame): void {
    if (!this.alive) return;
    if (this.terms.plain)
      return this.#print(frameText(frame).map((line) => (this.terms.unicode ? line : toAscii(line))));
    const lines = frame.lines.map((line) => paintLine(line, this.terms));
    let out = '';
    let changed = 0;
    lines.forEach((line, row) => {
      if (this.#shown[row] === line) return;
      changed += 1;
      out += `\u001b[${row + 1};1H${line}\u001b[K`;
    });
    if (out === '') return;
    this.drawn.frames += 1;
    if (changed === lines.length) this.drawn.whole += 1;
    this.#shown = lines;
    this.#write(`\u001b[?2026h${out}\u001b[?2026l`);
  }

  #print(page: readonly string[]): void {
    const lines = page.filter((line) => line.trim() !== '');
    const words = lines.map((line) => line.replace(/[\d.,:−-]+/g, '').trim());
    const now = performance.now();
    const same = words.every((line) => this.#shown.includes(line));
    if (same && now - this.#printedAtMs < plainEveryMs) return;
    this.#shown = words;
    this.#printedAtMs = now;
    this.#write(`${lines.join('\r\n')}\r\n\r\n`);
  }

  play(sound: Sound): void {
    this.#sounds.play(sound);
  }

  /** Ends the sound under way. */
  hush(): void {
    this.#sounds.stop();
  }

  close(): void {
    if (!this.#open) return;
    this.#open = false;
    const { stdin, stdout } = process;
    stdin.off('keypress', this.#keypress);
    stdout.off('resize', this.#resize);
    stdin.off('end', this.#gone);
    this.#bursts.close();
    this.#sounds.stop();
    stdin.pause();
    if (this.#dead) return;
    stdin.setRawMode(false);
    if (!this.terms.plain) this.#write('\u001b[?25h\u001b[?1049l');
  }

  readonly #keypress = (text: string | undefined, key: NodeKey): void => {
    // Escape with a letter right behind it comes as one key of the Alt kind: they are two.
    const [lead, letter, ...more] = key.meta === true ? (key.sequence ?? '') : '';
    if (lead === '\u001b' && letter !== undefined && more.length === 0) {
      this.#bursts.take({ name: 'escape', ctrl: false, text: '' });
      this.#bursts.take({ name: letter === '\r' ? 'return' : letter.toLowerCase(), ctrl: false, text: letter });
      return;
    }
    this.#bursts.take({
      name: key.name ?? text ?? '',
      ctrl: key.ctrl === true,
      text: key.ctrl || key.meta ? '' : (text ?? ''),
    });
  };

  readonly #resize = (): void => {
    this.#shown = [];
    if (this.alive && !this.terms.plain) this.#write('\u001b[2J');
    this.#events.resized();
  };

  readonly #gone = (): void => {
    if (this.#dead || !this.#open) return;
    this.#dead = true;
    this.#events.hungUp();
  };

  #write(text: string): void {
    process.stdout.write(text);
  }
}
