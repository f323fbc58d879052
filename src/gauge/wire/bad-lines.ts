import type { GaugeFault } from '../driver.js';
import { faultAt } from '../fault.js';

type BadCode = 'bad-line' | 'checksum';

/** So many good lines in a row, and the trouble is over. */
const goodAgain = 20;

/**
 * Lines that could not be read. The first is told with its reason; the others are counted, and told when twenty lines
 * in a row have been good: a line that is spoilt now and then would else fill the record and the screen.
 */
export class BadLines {
  readonly #counts = new Map<BadCode, number>();
  #good = 0;

  /** A line that could not be read; the fault to tell of it, or null. */
  bad(timeUs: number, code: BadCode, text: string): GaugeFault | null {
    const count = (this.#counts.get(code) ?? 0) + 1;
    this.#counts.set(code, count);
    this.#good = 0;
    return count === 1 ? faultAt(timeUs, code, text) : null;
  }

  /** A line that was read; the faults to tell now that the trouble is over, none nearly always. */
  good(timeUs: number): readonly GaugeFault[] {
    if (this.#counts.size === 0) return none;
    this.#good += 1;
    if (this.#good < goodAgain) return none;
    const many = [...this.#counts].filter(([, count]) => count > 1);
    this.#counts.clear();
    return many.map(([code, count]) => faultAt(timeUs, code, over[code](count)));
  }
}

const none: readonly GaugeFault[] = [];
const over = {
  'bad-line': (count: number) => `over: ${count} lines could not be read`,
  checksum: (count: number) => `over: the checksum of ${count} lines did not agree`,
} as const;
