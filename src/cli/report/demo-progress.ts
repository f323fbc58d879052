import type { RunNews } from '../../bench/index.js';
import { formatIn, pressureDecimals, shownUnit, type UnitSystem } from '../../units/index.js';
import { screenWidth } from '../output.js';

const phases = ['ready', 'ramp', 'stabilise', 'dwell', 'bleed-down'] as const;

/** One line on a terminal that shows how far an accelerated test has come; nothing elsewhere. */
export class DemoProgress {
  readonly #title: string;
  readonly #system: UnitSystem;
  readonly #silent: boolean;
  #shownAtMs = 0;

  constructor(title: string, system: UnitSystem, silent: boolean) {
    this.#title = title;
    this.#system = system;
    this.#silent = silent || process.stderr.isTTY !== true;
  }

  tell({ input, state }: RunNews): void {
    if (this.#silent || input.kind !== 'reading') return;
    const now = performance.now();
    if (now - this.#shownAtMs < 80) return;
    this.#shownAtMs = now;
    const { pressure } = this.#system;
    const level = formatIn(input.reading.pressurePa ?? Number.NaN, 'pressure', pressure, pressureDecimals(pressure));
    const steps = phases.map((name) => (name === state.phase.name ? `[${name}]` : name)).join(' ');
    const port = state.portIndex === 0 ? 'first port' : 'second port';
    const line = `${this.#title}: ${level} ${shownUnit(pressure)}  ${port}  ${steps}`;
    process.stderr.write(`\r\u001b[K${line.slice(0, screenWidth(process.stderr) - 1)}`);
  }

  end(): void {
    if (!this.#silent) process.stderr.write('\r\u001b[K');
  }
}
