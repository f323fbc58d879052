import type { OperatorCommand, OperatorPhase } from '../../drivers/simulated/index.js';
import type { PortName } from '../hydraulics/index.js';

/**
 * What Enter does at the practice bench: pumps up the next port when there is no pressure, ends each hold, and says what
 * comes next. After the last port it begins with the first again; the name of a port before Enter picks that one.
 */
export class PracticeHand {
  readonly #ports: readonly PortName[];
  #begun: PortName | null = null;

  constructor(ports: readonly PortName[]) {
    this.#ports = ports;
  }

  get next(): string {
    return `Enter pumps up port ${this.#nextPort} when the test asks for it`;
  }

  /** @param typed what stands before Enter; the name of a port picks it. */
  enter(
    { port, phase }: { readonly port: PortName; readonly phase: OperatorPhase },
    typed = '',
  ): { readonly says: string; readonly command?: OperatorCommand } {
    const ends = 'once it holds, Enter ends the hold';
    switch (phase) {
      case 'vented':
      case 'done': {
        if (phase === 'vented' && this.#begun === port)
          return { says: `port ${port} is about to be pumped up; ${ends}` };
        const begun = this.#ports.find((one) => one === typed.trim().toUpperCase()) ?? this.#nextPort;
        this.#begun = begun;
        return { says: `pumping up port ${begun}; ${ends}`, command: { kind: 'begin', port: begun } };
      }
      case 'hold':
        return { says: `ending the hold of port ${port}; without pressure ${this.next}`, command: { kind: 'release' } };
      case 'bleed':
        return { says: `port ${port} is still bleeding down; then ${this.next}` };
      default:
        return { says: `port ${port}: ${phase}; ${ends}` };
    }
  }

  get #nextPort(): PortName {
    const at = this.#begun === null ? -1 : this.#ports.indexOf(this.#begun);
    return this.#ports[(at + 1) % this.#ports.length] ?? 'A';
  }
}
