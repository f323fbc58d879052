import type { Key } from './dialogue.js';

/** Keys that follow each other faster than this, ms, were not pressed one by one: a scanner or a paste typed them. */
const burstMs = 35;
/** So many signs make a burst; two keys of a keypad may well come together. */
const fewestSigns = 4;

/** What becomes of keys. */
export interface KeyTaker {
  key(key: Key): void;
  /** Signs that came all at once; `entered` tells that Enter came with them. */
  scanned(text: string, entered: boolean): void;
}

const isEnter = ({ name }: Key): boolean => name === 'return' || name === 'enter';
const isSign = ({ text, ctrl }: Key): boolean => !ctrl && text !== '' && !/\p{Control}/u.test(text);

/**
 * Tells what a scanner types from what a person presses: its letters must never be taken for keys, one by one. A sign is
 * held back until it is known whether another is close behind.
 */
export class KeyBursts {
  readonly #taker: KeyTaker;
  #held: Key[] = [];
  #timer: NodeJS.Timeout | undefined;

  constructor(taker: KeyTaker) {
    this.#taker = taker;
  }

  take(key: Key): void {
    if (isSign(key)) {
      this.#held.push(key);
      clearTimeout(this.#timer);
      this.#timer = setTimeout(() => this.#letGo(false), burstMs);
      return;
    }
    if (this.#held.length > 0 && this.#letGo(isEnter(key))) return;
    this.#taker.key(key);
  }

  /** Forgets what is held back. */
  close(): void {
    clearTimeout(this.#timer);
    this.#held = [];
  }

  /** True when it was a burst. */
  #letGo(entered: boolean): boolean {
    clearTimeout(this.#timer);
    const held = this.#held;
    this.#held = [];
    if (held.length < fewestSigns) {
      for (const key of held) this.#taker.key(key);
      return false;
    }
    this.#taker.scanned(held.map(({ text }) => text).join(''), entered);
    return entered;
  }
}
