import type { GaugeFault, GaugeFaultCode } from './driver.js';
import { faultAt } from './fault.js';

/** Something wrong with one reading. */
export interface Trouble {
  readonly code: GaugeFaultCode;
  readonly text: string;
}

const none: readonly GaugeFault[] = [];

/**
 * Trouble that goes on is told once when it begins and once, with its count, when it is over, so that ten minutes of
 * dashes are not six thousand faults.
 */
export class FaultEpisodes {
  readonly #running = new Map<string, { readonly code: GaugeFaultCode; count: number }>();

  /** The faults to tell for a reading with this trouble; none for most. */
  of(timeUs: number, trouble: readonly Trouble[]): readonly GaugeFault[] {
    if (trouble.length === 0 && this.#running.size === 0) return none;
    const faults: GaugeFault[] = [];
    const now = new Set(trouble.map((one) => one.text));
    for (const [text, { code, count }] of this.#running)
      if (!now.has(text)) {
        this.#running.delete(text);
        if (count > 1) faults.push(faultAt(timeUs, code, `over after ${count} readings: ${text}`, 'note'));
      }
    for (const { code, text } of trouble) {
      const running = this.#running.get(text);
      if (running) running.count += 1;
      else {
        this.#running.set(text, { code, count: 1 });
        faults.push(faultAt(timeUs, code, text));
      }
    }
    return faults;
  }
}
