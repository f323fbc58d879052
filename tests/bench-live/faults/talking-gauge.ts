import type { Cable } from '../../drivers/pty.js';
import { sleep } from '../../drivers/pty.js';

/** What goes wrong with the instrument or its line just now. */
export interface GaugeTrouble {
  readonly silent?: boolean;
  /** The value stands to the last digit. */
  readonly frozen?: boolean;
  /** Bar added to what it reads. */
  readonly offBar?: number;
  readonly unit?: 'psi';
  /** Only every so many readings are sent. */
  readonly oneIn?: number;
  /** The checksum of every so many lines is wrong. */
  readonly spoilOneIn?: number;
  /** Stands where the value belongs. */
  readonly mark?: string;
  readonly status?: string;
  /** Another instrument. */
  readonly serial?: string;
  /** Over by itself after so many readings. */
  readonly readings?: number;
}

/** A whole line as it left: the pressure it says in whole pascals, null for none, undefined for a line to be refused. */
export interface SentLine {
  readonly text: string;
  readonly pressurePa: number | null | undefined;
}

const perS = 20;
const ventedS = 2.5;
const rampBarPerS = 12;
const holdBar = 61;
const releaseBarPerS = 50;

/**
 * An instrument of its own, apart from everything it is tried on: it stands vented, sees a cylinder pumped to 61 bar,
 * holds it with a little noise, and lets go when it is told to. Each reading is a line with its serial, a status word,
 * the value, its unit and the exclusive or of all bytes before it.
 */
export class TalkingGauge {
  readonly sent: SentLine[] = [];
  #trouble: GaugeTrouble = {};
  readonly #cable: Cable;
  /** The longest time from one line to the next. */
  longestPauseS = 0;
  #spokeMs: number | null = null;
  #count = 0;
  #lastBar = 0;
  #troubled = 0;
  #startMs = 0;
  /** When the pump starts, s from the first reading. */
  #pumpS: number;
  #releasedS: number | null = null;
  #running = true;
  #startsAgain = false;
  #addedBar = 0;
  #chance = 20260314;

  /** @param waits it stays vented until {@link pump}. */
  constructor(cable: Cable, { waits = false } = {}) {
    this.#pumpS = waits ? Number.POSITIVE_INFINITY : ventedS;
    this.#cable = cable;
  }

  /** Talks until it is stopped, in its own beat: what it could not say in time it says at once. */
  async talk(): Promise<void> {
    this.#startMs = performance.now();
    while (this.#running) {
      const lateMs = performance.now() - this.#startMs - (this.#count * 1000) / perS;
      if (lateMs < 0) await sleep(-lateMs);
      else await this.#sayReading();
    }
  }

  set trouble(trouble: GaugeTrouble) {
    this.#trouble = trouble;
    this.#troubled = 0;
  }

  /** Somebody pumps up the cylinder, from now on. */
  pump(): void {
    this.#pumpS = this.#count / perS;
  }

  /** Bytes that are no reading, as the instrument says them. */
  async says(text: string): Promise<void> {
    await this.#cable.send(text);
  }

  /** A reading now, out of its beat. */
  async sayNow(): Promise<void> {
    await this.#sayReading();
  }

  stop(): void {
    this.#running = false;
  }

  /** Goes on after a pulled plug: its first line may arrive cut, and is no reading then. */
  startsAgain(): void {
    this.#startsAgain = true;
    this.trouble = {};
  }

  /** Somebody pumps in some more. */
  topUp(bar: number): void {
    this.#addedBar += bar;
  }

  /** Somebody opens the bench valve. */
  release(): void {
    this.#releasedS ??= this.#count / perS - this.#pumpS;
  }

  async #sayReading(): Promise<void> {
    this.#count += 1;
    this.#troubled += 1;
    if (this.#troubled > (this.#trouble.readings ?? Number.POSITIVE_INFINITY)) this.trouble = {};
    const { silent, oneIn = 1, frozen } = this.#trouble;
    if (!frozen) this.#lastBar = this.#pressureBar();
    if (silent || this.#count % oneIn !== 0) return;
    const nowMs = performance.now();
    this.longestPauseS = Math.max(this.longestPauseS, (nowMs - (this.#spokeMs ?? nowMs)) / 1000);
    this.#spokeMs = nowMs;
    const line = this.#lineOf(this.#lastBar);
    this.sent.push(this.#startsAgain ? { ...line, pressurePa: undefined } : line);
    this.#startsAgain = false;
    await this.#cable.send(`${line.text}\r\n`);
  }

  #lineOf(bar: number): SentLine {
    const { offBar = 0, unit = 'bar', mark, status = 'ST', serial = 'BL-1001', spoilOneIn } = this.#trouble;
    const shownBar = Math.round((bar + offBar) * 100) / 100 + 0;
    const figure = mark ?? (unit === 'psi' ? (shownBar * 14.5037738).toFixed(1) : shownBar.toFixed(2)).padStart(8);
    const covered = `${serial} ${status} ${figure} ${unit} `;
    let sum = 0;
    for (const byte of Buffer.from(covered, 'latin1')) sum ^= byte;
    const spoilt = spoilOneIn !== undefined && this.#count % spoilOneIn === 0;
    if (spoilt) sum ^= 0x11;
    const text = `${covered}${sum.toString(16).toUpperCase().padStart(2, '0')}`;
    const value = mark === undefined && unit === 'bar' ? Math.round(shownBar * 1e5) : null;
    return { text, pressurePa: spoilt ? undefined : value };
  }

  #pressureBar(): number {
    const tS = this.#count / perS - this.#pumpS;
    if (!(tS >= 0)) return 0;
    const heldBar = Math.min(holdBar + this.#addedBar, rampBarPerS * tS) + 0.02 * this.#noise();
    if (this.#releasedS === null) return heldBar;
    return Math.max(0, heldBar - (tS - this.#releasedS) * releaseBarPerS);
  }

  /** About normal with a deviation of one, the same row every time. */
  #noise(): number {
    let sum = 0;
    for (let index = 0; index < 12; index++) {
      this.#chance = (Math.imul(this.#chance, 1_664_525) + 1_013_904_223) >>> 0;
      sum += this.#chance / 2 ** 32;
    }
    return sum - 6;
  }
}
