import type { Reading } from '../../../src/gauge/index.js';
import { type LineShape, lineOf } from './line-shape.js';

/** Something that goes wrong on the cable or in the instrument, at a time on the gauge's clock. */
export type LineFault =
  /** Nothing is sent. */
  | { readonly kind: 'silence'; readonly atS: number; readonly forS: number }
  /** The last value is sent again and again. */
  | { readonly kind: 'freeze'; readonly atS: number; readonly forS: number }
  /** The value is off by a step. */
  | { readonly kind: 'jump'; readonly atS: number; readonly forS: number; readonly byPa: number }
  /** The instrument has been switched to its other unit: figure and unit name both change. */
  | { readonly kind: 'wrong unit'; readonly atS: number; readonly forS: number }
  /** Every second line is missing. */
  | { readonly kind: 'half rate'; readonly atS: number; readonly forS: number }
  /** One byte of each line has a bit turned. */
  | { readonly kind: 'corrupted bytes'; readonly atS: number; readonly forS: number }
  /** The plug is pulled; nothing follows. */
  | { readonly kind: 'unplug'; readonly atS: number };

/** What is to be sent for one reading: bytes, or nothing, or the plug pulled. */
export type Sending =
  | { readonly kind: 'bytes'; readonly bytes: Uint8Array }
  | { readonly kind: 'nothing' }
  | { readonly kind: 'unplug' };

/** Turns readings into bytes in order, with the faults that fall on each. */
export class FaultyLine {
  readonly #shape: LineShape;
  readonly #faults: readonly LineFault[];
  #frozen: Reading | undefined;
  #count = 0;

  constructor(shape: LineShape, faults: readonly LineFault[]) {
    this.#shape = shape;
    this.#faults = faults;
  }

  send(reading: Reading): Sending {
    this.#count++;
    let sent = reading;
    let shape = this.#shape;
    let corrupt = false;
    const acting = this.#faults.filter((fault) => acts(fault, reading.timeUs));
    if (!acting.some(({ kind }) => kind === 'freeze')) this.#frozen = reading;
    for (const fault of acting) {
      if (fault.kind === 'unplug') return { kind: 'unplug' };
      if (fault.kind === 'silence' || (fault.kind === 'half rate' && this.#count % 2 === 0)) return { kind: 'nothing' };
      if (fault.kind === 'freeze') sent = this.#frozen ?? reading;
      if (fault.kind === 'jump' && sent.pressurePa !== null)
        sent = { ...sent, pressurePa: (sent.pressurePa + fault.byPa) as NonNullable<Reading['pressurePa']> };
      if (fault.kind === 'wrong unit') shape = { ...shape, unit: shape.unit === 'bar' ? 'psi' : 'bar' };
      if (fault.kind === 'corrupted bytes') corrupt = true;
    }
    const bytes = new TextEncoder().encode(lineOf(sent, shape));
    // A turned bit in the first digit: the line keeps its length and its end, as line noise does.
    if (corrupt) bytes[1] = (bytes[1] ?? 0) ^ 0x40;
    return { kind: 'bytes', bytes };
  }
}

/** Whether a fault acts at a time; its own times to the whole microsecond, end excluded. */
function acts(fault: LineFault, timeUs: number): boolean {
  const fromUs = Math.round(fault.atS * 1e6);
  const untilUs = 'forS' in fault ? Math.round((fault.atS + fault.forS) * 1e6) : Number.POSITIVE_INFINITY;
  return timeUs >= fromUs && timeUs < untilUs;
}
