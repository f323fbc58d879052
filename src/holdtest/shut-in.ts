import { square } from '../units/index.js';

/**
 * The search for the last rise: since when the pressure is shut in. A reading clearly above the highest since then, or
 * a mean over a few seconds clearly above the lowest, is a rise, and the volume counts as shut in from there. Plain
 * JSON.
 */
export interface ShutInWatch {
  /** The last reading that still rose. */
  readonly sinceUs: number;
  readonly sincePa: number;
  /** Height of that rise with those that led up to it without a rest. */
  readonly risenPa: number;
  /** End of the last rise that no wander of a gauge explains. */
  readonly pumpedUs: number;
  /** Level just after it, a mean over a few seconds; null until that is there. */
  readonly startPa: number | null;
  readonly lowestPa: number | null;
  readonly highestPa: number;
  /** Scatter of a mean, from second differences: a running mean of their squares, and how many there were. */
  readonly scatter: { readonly squarePa2: number; readonly count: number };
  /** Fastest fall from one mean to the next that a valve may have made, Pa, how many slow ones came after it, and the level then. */
  readonly fast: { readonly fallPa: number; readonly calm: number; readonly levelPa: number };
  /** The two means before the open one. */
  readonly last: readonly number[];
  readonly open: { readonly startUs: number; readonly n: number; readonly sumPa: number };
}

/** A mean is over so many seconds, or one reading of a slower gauge. */
const spanUs = 3_000_000;

/** A rise below this share of the target is none; nor is one of a display step, or of so many standard deviations. */
const leastShare = 0.0005;
const sure = 4.5;
/** From this share of the target on it is a pump's, and from so many display steps. */
const pumpShare = 0.004;
const pumpSteps = 4;
/** A bleed back lets go of at least this share of the target from one mean to the next. */
const bleedShare = 0.001;
/** Second differences that the scatter remembers. */
const remembered = 12;

export const watchFrom = (timeUs: number, pressurePa: number): ShutInWatch => ({
  sinceUs: timeUs,
  sincePa: pressurePa,
  risenPa: 0,
  pumpedUs: timeUs,
  startPa: null,
  lowestPa: null,
  highestPa: pressurePa,
  scatter: { squarePa2: 0, count: 0 },
  fast: { fallPa: 0, calm: 0, levelPa: 0 },
  last: [],
  open: { startUs: timeUs, n: 1, sumPa: pressurePa },
});

/** The watch with one more reading. */
export function watchShutIn(
  watch: ShutInWatch,
  timeUs: number,
  pressurePa: number,
  { targetPa, resolutionPa }: { readonly targetPa: number; readonly resolutionPa: number },
): ShutInWatch {
  const { open, lowestPa } = watch;
  const margin = Math.max(leastShare * targetPa, 1.2 * resolutionPa, sure * scatterPa(watch.scatter));
  const pumpPa = Math.max(margin, pumpShare * targetPa, pumpSteps * resolutionPa);
  const again = (byPa: number): ShutInWatch => {
    const goesOn = timeUs - watch.sinceUs <= spanUs / 2;
    const risenPa = byPa + (goesOn ? watch.risenPa : 0);
    return {
      ...watchFrom(timeUs, pressurePa),
      risenPa,
      pumpedUs: risenPa > pumpPa ? timeUs : watch.pumpedUs,
      scatter: watch.scatter,
    };
  };
  const reference = Math.min(watch.highestPa, lowestPa ?? watch.highestPa);
  // The end of a slow ramp sets a new highest with each reading; against where it stood it still rises.
  const fromPa = watch.startPa === null ? watch.sincePa : watch.highestPa;
  if (pressurePa > fromPa + margin) return again(pressurePa - reference);
  const highestPa = Math.max(watch.highestPa, pressurePa);
  if (timeUs - open.startUs < spanUs)
    return { ...watch, highestPa, open: { startUs: open.startUs, n: open.n + 1, sumPa: open.sumPa + pressurePa } };
  const mean = open.sumPa / open.n;
  if (lowestPa !== null && mean > lowestPa + margin) return again(mean - lowestPa);
  const [a, b] = watch.last;
  const leastPa = Math.max(margin, bleedShare * targetPa, 3 * resolutionPa);
  const fast = fallen(watch.fast, b ?? a ?? mean, mean, leastPa);
  if (fast.calm === 2) return { ...again(0), startPa: fast.levelPa };
  return {
    ...watch,
    highestPa,
    startPa: watch.startPa ?? mean,
    lowestPa: lowestPa === null ? mean : Math.min(lowestPa, mean),
    scatter: a === undefined || b === undefined ? watch.scatter : learned(watch.scatter, mean - 2 * b + a),
    fast,
    last: b === undefined ? [...watch.last, mean] : [b, mean],
    open: { startUs: timeUs, n: 1, sumPa: pressurePa },
  };
}

/** A fall as of a valve: it ends at once, and what goes on after it, as a leak does, is much slower. */
function fallen(fast: ShutInWatch['fast'], beforePa: number, meanPa: number, leastPa: number): ShutInWatch['fast'] {
  const fallPa = beforePa - meanPa;
  const isSlow = fast.fallPa > 0 && fallPa < fast.fallPa / 2;
  if (fallPa > leastPa && !isSlow) return { fallPa: Math.max(fast.fallPa, fallPa), calm: 0, levelPa: 0 };
  if (!isSlow) return fast;
  return { ...fast, calm: fast.calm + 1, levelPa: fast.calm === 0 ? meanPa : fast.levelPa };
}

function learned({ squarePa2, count }: ShutInWatch['scatter'], secondPa: number): ShutInWatch['scatter'] {
  const many = Math.min(count + 1, remembered);
  return { squarePa2: squarePa2 + (square(secondPa) - squarePa2) / many, count: many };
}

/** Standard deviation of the difference of two means: a second difference of independent ones has three times its variance. */
const scatterPa = ({ squarePa2, count }: ShutInWatch['scatter']): number => (count < 3 ? 0 : Math.sqrt(squarePa2 / 3));
