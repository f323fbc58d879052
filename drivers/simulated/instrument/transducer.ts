import type { RandomSource } from './random.js';

/** A pressure transmitter as it really is. Errors in pascals; resolution in the unit it shows. */
export interface SimulatedTransducer {
  readonly unit: 'bar' | 'psi';
  /** One step, in `unit`. */
  readonly resolution: number;
  readonly rangeLowPa: number;
  readonly rangeHighPa: number;
  /** First-order lag, s. */
  readonly lagS: number;
  /** Standard deviation of noise that is new with every reading, Pa. */
  readonly whitePa: number;
  /** Noise that remembers: standard deviation, Pa, and correlation from one reading to the next. */
  readonly correlated?: { readonly deviationPa: number; readonly perReading: number };
  readonly offsetPa?: number;
  readonly gainError?: number;
  /** Zero drift, Pa/s. */
  readonly driftPaPerS?: number;
  /** Half-width of the play between rising and falling, Pa. */
  readonly hysteresisPa?: number;
}

/** Pascals in one of the unit: NIST SP 811; 1 psi from the pound, the inch and the standard acceleration. */
export const pascalsIn = { bar: 100_000, psi: 6894.757293168361 } as const;

/** What the instrument shows: a value in its unit, or why there is none. */
export type Shown = { readonly value: number } | { readonly value: null; readonly why: 'over-range' | 'under-range' };

/** The instrument with its memory: lag, play, correlated noise. */
export class Transducer {
  readonly #spec: SimulatedTransducer;
  readonly #random: RandomSource;
  #lagged: number | undefined;
  #previousPa = 0;
  #played = 0;
  #correlated = 0;
  #timeS = 0;

  constructor(spec: SimulatedTransducer, random: RandomSource) {
    this.#spec = spec;
    this.#random = random;
  }

  /** Takes the true pressure at a time and shows a value. Between two readings the pressure counts as a straight line. */
  read(timeS: number, truePa: number): Shown {
    const spec = this.#spec;
    const spanS = timeS - this.#timeS;
    this.#lagged = this.#lagged === undefined ? truePa : lag(this.#lagged, this.#previousPa, truePa, spanS, spec.lagS);
    this.#timeS = timeS;
    this.#previousPa = truePa;
    const play = spec.hysteresisPa ?? 0;
    this.#played = Math.min(this.#lagged + play, Math.max(this.#lagged - play, this.#played));

    const white = spec.whitePa * this.#random.gaussian();
    if (spec.correlated) {
      const { perReading, deviationPa } = spec.correlated;
      const fresh = deviationPa * Math.sqrt(1 - perReading ** 2) * this.#random.gaussian();
      this.#correlated = perReading * this.#correlated + fresh;
    }
    const indicatedPa =
      this.#played * (1 + (spec.gainError ?? 0)) +
      (spec.offsetPa ?? 0) +
      (spec.driftPaPerS ?? 0) * timeS +
      white +
      this.#correlated;
    if (indicatedPa > spec.rangeHighPa) return { value: null, why: 'over-range' };
    if (indicatedPa < spec.rangeLowPa) return { value: null, why: 'under-range' };
    return { value: toStep(indicatedPa / pascalsIn[spec.unit], spec.resolution) };
  }
}

/** An oil temperature probe: lag, noise, and steps in degrees Celsius. */
export interface SimulatedProbe {
  readonly lagS: number;
  readonly noiseK: number;
  readonly resolutionK: number;
}

/** The probe with its memory; shows degrees Celsius. */
export class OilProbe {
  readonly #spec: SimulatedProbe;
  readonly #random: RandomSource;
  #lagged: number | undefined;
  #previousK = 0;
  #timeS = 0;

  constructor(spec: SimulatedProbe, random: RandomSource) {
    this.#spec = spec;
    this.#random = random;
  }

  read(timeS: number, trueK: number): number {
    const spanS = timeS - this.#timeS;
    this.#lagged =
      this.#lagged === undefined ? trueK : lag(this.#lagged, this.#previousK, trueK, spanS, this.#spec.lagS);
    this.#timeS = timeS;
    this.#previousK = trueK;
    const shownK = this.#lagged + this.#spec.noiseK * this.#random.gaussian();
    return toStep(shownK - 273.15, this.#spec.resolutionK);
  }
}

/** First-order lag behind a straight line from `fromX` to `toX`, exact. */
function lag(y: number, fromX: number, toX: number, spanS: number, lagS: number): number {
  if (lagS <= 0 || spanS <= 0) return spanS <= 0 ? y : toX;
  const slope = (toX - fromX) / spanS;
  const decay = Math.exp(-spanS / lagS);
  return toX - slope * lagS + (y - fromX + slope * lagS) * decay;
}

/** Decimals that a step of this size needs. */
const decimalsOfStep = (step: number): number => Math.max(0, Math.ceil(-Math.log10(step) - 1e-9));

/** The nearest step, free of the crumbs of binary arithmetic; never minus zero. */
function toStep(value: number, step: number): number {
  const stepped = Number((Math.round(value / step) * step).toFixed(decimalsOfStep(step)));
  return stepped === 0 ? 0 : stepped;
}
