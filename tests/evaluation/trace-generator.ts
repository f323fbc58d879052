/** A source of numbers that repeats itself for the same seed (mulberry32, from memory), so that a failure can be looked at. */
export interface Chance {
  /** At least 0, below 1. */
  uniform(): number;
  between(low: number, high: number): number;
  /** Mean 0, standard deviation 1. */
  normal(): number;
}

export function chance(seed: number): Chance {
  let state = seed >>> 0;
  let spare: number | null = null;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  const normal = (): number => {
    if (spare !== null) {
      const held = spare;
      spare = null;
      return held;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  return { uniform, between: (low, high) => low + (high - low) * uniform(), normal };
}

/** First-order autoregressive noise with the given lag-one correlation and standard deviation, started in its steady state. */
export function correlatedNoiseSource(source: Chance, correlation: number, sd: number): () => number {
  const kick = Math.sqrt(1 - correlation * correlation);
  let state = source.normal();
  return () => {
    const now = state;
    state = correlation * state + kick * source.normal();
    return sd * now;
  };
}

/** One simulated dwell: what the gauge showed, and the truth behind it. */
export interface SimulatedDwell {
  readonly timeUs: readonly number[];
  readonly pressurePa: readonly number[];
  readonly oilK: readonly (number | null)[];
  /** Fall of the noise-free, temperature-corrected pressure over the dwell, Pa. */
  readonly trueDropPa: number;
}

export interface DwellRecipe {
  readonly source: Chance;
  readonly durationS: number;
  readonly ratePerS: number;
  readonly startPa: number;
  /** Fall by a steady leak over the dwell, Pa. */
  readonly leakDropPa: number;
  readonly noise: () => number;
  readonly resolutionPa?: number;
  /** What is still to settle when the dwell starts, and its time constant. */
  readonly settling?: { readonly sizePa: number; readonly tauS: number };
  /** A sudden fall within the dwell. */
  readonly step?: { readonly sizePa: number; readonly atS: number };
  /**
   * Oil temperature: cools exponentially towards `-coolK` from its start; a probe with a first-order lag and noise shows it.
   * Without `probe` nothing is logged.
   */
  readonly oil?: {
    readonly coolK: number;
    readonly tauS: number;
    readonly paPerK: number;
    readonly probe?: { readonly lagS: number; readonly noiseK: number };
  };
  /** Drift of the gauge over the dwell, Pa; it does not belong to the truth. */
  readonly gaugeDriftPa?: number;
}

export function simulatedDwell(recipe: DwellRecipe): SimulatedDwell {
  const { source, durationS, ratePerS, startPa, leakDropPa, settling, step, oil } = recipe;
  const readings = Math.round(durationS * ratePerS) + 1;
  const resolution = recipe.resolutionPa ?? 1;
  const timeUs: number[] = [];
  const pressurePa: number[] = [];
  const oilK: (number | null)[] = [];
  const settled = (t: number): number => (settling ? settling.sizePa * (1 - Math.exp(-t / settling.tauS)) : 0);
  const stepped = (t: number): number => (step && t >= step.atS ? step.sizePa : 0);
  const leaked = (t: number): number => (leakDropPa * t) / durationS;
  /** Oil long into its exponential course: the probe trails it by the factor tau/(tau - lag). */
  const warmth = (t: number, share: number): number => (oil ? -oil.coolK * (1 - Math.exp(-t / oil.tauS) * share) : 0);
  for (let i = 0; i < readings; i++) {
    const t = i / ratePerS;
    const thermal = oil ? oil.paPerK * warmth(t, 1) : 0;
    const drift = ((recipe.gaugeDriftPa ?? 0) * t) / durationS;
    const shown = startPa - leaked(t) - settled(t) - stepped(t) + thermal + drift + recipe.noise();
    timeUs.push(Math.round(t * 1e6));
    pressurePa.push(Math.round(Math.round(shown / resolution) * resolution));
    if (oil?.probe) {
      const trailing = oil.tauS / (oil.tauS - oil.probe.lagS);
      oilK.push(Math.round((318 + warmth(t, trailing) + oil.probe.noiseK * source.normal()) * 1000) / 1000);
    } else oilK.push(null);
  }
  return { timeUs, pressurePa, oilK, trueDropPa: leaked(durationS) + settled(durationS) + stepped(durationS) };
}
