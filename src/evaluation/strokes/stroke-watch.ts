import { type Reading, readingFlags } from '../../gauge/index.js';
import type { HoldState, SeenStroke } from '../../holdtest/index.js';
import type { PortName } from '../../hydraulics/index.js';
import type { GaugeSpec } from '../../procedure/index.js';
import type { StrokePoint } from './approach.js';
import { breakAway } from './read-stroke.js';
import type { StrokeResult } from './stroke-result.js';

const unusable = readingFlags.otherUnit | readingFlags.checksum;
/** Readings kept while nothing happens, for the beginning of a rise. */
const keptAtRest = 4;
/** Of one stroke no more are kept: ten minutes at a hundred a second. A longer run is read from its first part. */
const keptMost = 60_000;

/** Keeps the readings of the pressure under way, and reads each stroke that the phases see in it. */
export class StrokeWatch {
  readonly #points: StrokePoint[] = [];
  readonly strokes: StrokeResult[] = [];

  /** A reading, and the state in which it arrives. */
  add({ timeUs, pressurePa, oppositePa, flags }: Reading, { strokes, phase }: HoldState): void {
    if (phase.name === 'dwell' || phase.name === 'bleed-down' || phase.name === 'done') return;
    if (pressurePa === null || (flags & unusable) !== 0) return;
    if (strokes.open === null) this.#points.splice(0, this.#points.length - keptAtRest);
    if (this.#points.length < keptMost) this.#points.push({ s: timeUs / 1e6, pa: pressurePa, oppositePa });
  }

  /** A stroke that the phases saw in the readings so far. */
  seen(stroke: SeenStroke, number: number, port: PortName, gauge: GaugeSpec): void {
    const points = this.#points.map((point) => ({ ...point, pa: point.pa - stroke.zeroPa }));
    this.strokes.push(breakAway(points, stroke, number, port, gauge));
  }
}
