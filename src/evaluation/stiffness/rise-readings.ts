import {
  type RiseReadings,
  readingNoisePa,
  type Step,
  type StrokeChain,
  stepsOf,
  strokeChains,
} from './booster-steps.js';

/** The steps that a rise shows. */
export interface SeenSteps {
  /** Every rise between two levels, of a stroke or of a pump. */
  readonly steps: readonly Step[];
  readonly chains: readonly StrokeChain[];
}

/** Readings closer than this are taken together, s. */
const apartS = 0.09;
/** More are taken together in pairs. */
const mostKept = 6000;
/** Vented readings that are kept before the rise. */
const ventedKept = 40;
/** The last of them may already be leaving zero. */
const leaving = 12;
/** Below this the gauge still stands at zero, Pa and steps of its digits. */
const [ventedPa, ventedSteps] = [0.5e5, 3];

/** Remembers the readings of one rise, in constant memory, for the steps that its strokes make. */
export class RiseReadingsWatch {
  readonly #resolutionPa: number;
  #vented: { s: number; pa: number }[] = [];
  #rise: { s: number; pa: number }[] = [];
  #open: { s: number; pa: number; count: number; fromS: number } | null = null;
  #apartS = apartS;
  #steps: { readonly of: number; readonly seen: SeenSteps } | null = null;

  /** @param resolutionPa step of the gauge's display */
  constructor(resolutionPa: number) {
    this.#resolutionPa = resolutionPa;
  }

  /** @param pa above the vented zero */
  add(timeUs: number, pa: number): void {
    const s = timeUs / 1e6;
    const open = this.#open;
    if (open && s - open.fromS < this.#apartS) {
      open.count += 1;
      open.s += (s - open.s) / open.count;
      open.pa += (pa - open.pa) / open.count;
      return;
    }
    if (open) this.#keep({ s: open.s, pa: open.pa });
    this.#open = { s, pa, count: 1, fromS: s };
  }

  #keep(reading: { s: number; pa: number }): void {
    if (reading.pa < ventedPa + ventedSteps * this.#resolutionPa) {
      this.#rise = [];
      this.#apartS = apartS;
      this.#vented.push(reading);
      if (this.#vented.length > ventedKept) this.#vented.shift();
      return;
    }
    this.#rise.push(reading);
    if (this.#rise.length < mostKept) return;
    this.#apartS *= 2;
    this.#rise = this.#rise.flatMap((one, i) => {
      const next = this.#rise[i + 1];
      return i % 2 === 0 && next ? [{ s: (one.s + next.s) / 2, pa: (one.pa + next.pa) / 2 }] : [];
    });
  }

  /** The steps of the rise so far. */
  seen(): SeenSteps {
    if (this.#steps?.of !== this.#rise.length) this.#steps = { of: this.#rise.length, seen: this.#look() };
    return this.#steps.seen;
  }

  #look(): SeenSteps {
    const all = [...this.#vented, ...this.#rise];
    if (this.#open) all.push(this.#open);
    const readings: RiseReadings = {
      s: Float64Array.from(all, ({ s }) => s),
      pa: Float64Array.from(all, ({ pa }) => pa),
    };
    const noisePa = readingNoisePa(
      this.#vented.slice(0, this.#vented.length > 2 * leaving ? -leaving : undefined).map(({ pa }) => pa),
      this.#resolutionPa,
    );
    return { steps: stepsOf(readings, noisePa), chains: strokeChains(readings, noisePa) };
  }
}
