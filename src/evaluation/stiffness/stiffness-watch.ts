import { type Reading, type ReadingColumns, readingFlags } from '../../gauge/index.js';
import type { Phase } from '../../holdtest/index.js';
import type { SeenAttempt } from './check-stiffness.js';
import { OppositeWatch } from './opposite-port.js';
import { RiseReadingsWatch } from './rise-readings.js';
import { RiseWatch } from './rise-watch.js';

const unusable = readingFlags.otherUnit | readingFlags.checksum;

/** Remembers of one attempt, in constant memory, what the stiffness check must know: the rise, and the other port. */
export class StiffnessWatch {
  readonly #resolutionPa: number;
  readonly #rise: RiseWatch;
  readonly #readings: RiseReadingsWatch;
  readonly #opposite = new OppositeWatch();
  #zeroPa = 0;
  #highestPa = 0;
  #holding = false;

  constructor(resolutionPa: number) {
    this.#resolutionPa = resolutionPa;
    this.#rise = new RiseWatch(resolutionPa);
    this.#readings = new RiseReadingsWatch(resolutionPa);
  }

  /** @param phase the phase in which the reading arrives */
  add(phase: Phase, { timeUs, pressurePa, oppositePa, flags }: Reading): void {
    if (pressurePa === null || (flags & unusable) !== 0) return;
    if (phase.name === 'ready') this.#zeroPa = phase.zeroCount > 0 ? phase.zeroMeanPa : 0;
    const ramping = phase.name === 'ready' || phase.name === 'ramp';
    // A gauge that follows late still rises when the band is reached.
    const stillRising = phase.name === 'stabilise' && pressurePa > this.#highestPa;
    if (ramping || stillRising) {
      this.#rise.add(timeUs, pressurePa, this.#zeroPa, stillRising);
      this.#readings.add(timeUs, pressurePa - this.#zeroPa);
    }
    this.#highestPa = ramping ? pressurePa : Math.max(this.#highestPa, pressurePa);
    const holding = phase.name === 'dwell';
    if (holding && !this.#holding) this.#opposite.startAfresh();
    this.#holding = holding;
    if (holding && oppositePa !== null) this.#opposite.add(pressurePa, oppositePa);
  }

  /** Readings of a dwell that have a pressure, of an index up to another: what {@link add} makes of each in turn. */
  addHeld({ pressurePa, oppositePa }: ReadingColumns, from: number, until: number): void {
    if (!this.#holding) this.#opposite.startAfresh();
    this.#holding = true;
    for (let at = from; at < until; at += 1) {
      const other = oppositePa[at] as number;
      if (!Number.isNaN(other)) this.#opposite.add(pressurePa[at] as number, other);
    }
  }

  seen(): SeenAttempt {
    return {
      rise: this.#rise.seen(),
      steps: this.#readings.seen(),
      opposite: this.#opposite.seen(),
      resolutionPa: this.#resolutionPa,
    };
  }
}
