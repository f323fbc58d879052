import { faultAt } from '../fault.js';
import { quiet, type Rule } from './rule.js';

/** Chance that noise alone would keep a living gauge still for so long. */
const chance = 1e-9;
const shortestRun = 20;
const shortestS = 2;
/** Readings in one estimate of the noise. */
const noiseWindow = 32;

interface Frozen {
  readonly lastPa: number | null;
  readonly beforeLastPa: number | null;
  /** Equal readings in a row, the first included, and when they began. */
  readonly run: number;
  readonly runStartUs: number;
  /** Mean length of the runs before: a gauge that is asked faster than it measures repeats itself. */
  readonly meanRun: number;
  readonly told: boolean;
  /** Sum of squared second differences under way, and how many. */
  readonly squares: number;
  readonly count: number;
  /** Least noise seen in a whole window, pascals; null until then. */
  readonly noisePa: number | null;
}

/**
 * A value that stands still to the last digit for longer than the gauge's own noise would let it. With noise sigma
 * and step d a living gauge repeats a digit with probability of at most p = erf(d / (2 sqrt 2 sigma)) (normal noise,
 * level in the middle of a step); a run of n is told when p^n < 1e-9. The noise is the given one or learned, from
 * second differences, which a steady ramp leaves untouched, and the least of all windows, so that a pump's strokes
 * don't count as noise. A gauge whose noise is far below its step may stand still for ever and is never told.
 */
export const frozen: Rule<Frozen> = {
  start: {
    lastPa: null,
    beforeLastPa: null,
    run: 0,
    runStartUs: 0,
    meanRun: 1,
    told: false,
    squares: 0,
    count: 0,
    noisePa: null,
  },
  step(state, input, limits) {
    if (input.kind !== 'reading') return quiet(state);
    const { timeUs, pressurePa } = input.reading;
    if (pressurePa === null || pressurePa < limits.frozenAbovePa)
      return quiet({ ...frozen.start, meanRun: state.meanRun, noisePa: state.noisePa });
    if (pressurePa !== state.lastPa) return quiet(moved(state, timeUs, pressurePa));
    const run = state.run + 1;
    const { told, meanRun } = state;
    const next = stood(state, run, told);
    const seconds = (timeUs - state.runStartUs) / 1e6;
    if (told || run < shortestRun || seconds < shortestS) return quiet(next);
    const longest = longestRun(limits.noisePa ?? state.noisePa, limits.resolutionPa) * Math.max(1, meanRun);
    if (run < longest) return quiet(next);
    const text = `the reading has stood at {pressure:${pressurePa}} for {seconds:${seconds.toFixed(1)}}, ${run} times to the last digit: noise alone would have moved it`;
    return { state: stood(state, run, true), faults: [faultAt(timeUs, 'frozen', text)] };
  },
};

/** The same value again. Field by field: this is the path of every reading that stands still. */
const stood = (state: Frozen, run: number, told: boolean): Frozen => ({
  lastPa: state.lastPa,
  beforeLastPa: state.beforeLastPa,
  run,
  runStartUs: state.runStartUs,
  meanRun: state.meanRun,
  told,
  squares: state.squares,
  count: state.count,
  noisePa: state.noisePa,
});

function moved(state: Frozen, timeUs: number, pressurePa: number): Frozen {
  const { lastPa, beforeLastPa, meanRun } = state;
  const ended = state.run > 0 && !state.told;
  let { squares, count, noisePa } = state;
  if (lastPa !== null && beforeLastPa !== null) {
    squares += (pressurePa - 2 * lastPa + beforeLastPa) ** 2;
    count += state.run;
    if (count >= noiseWindow) {
      const noise = Math.sqrt(squares / count / 6);
      noisePa = Math.min(noise, noisePa ?? noise);
      squares = 0;
      count = 0;
    }
  }
  return {
    lastPa: pressurePa,
    beforeLastPa: lastPa,
    run: 1,
    runStartUs: timeUs,
    meanRun: ended ? meanRun + (state.run - meanRun) / 32 : meanRun,
    told: false,
    squares,
    count,
    noisePa,
  };
}

/**
 * Longest run of equal readings that noise of that size would leave, in readings.
 * @example longestRun(1e4, 1e4) // 22 (p = erf(0.354) = 0.383)
 */
export function longestRun(noisePa: number | null, resolutionPa: number): number {
  if (noisePa === null || noisePa <= 0) return Number.POSITIVE_INFINITY;
  const same = erf(resolutionPa / (2 * Math.SQRT2 * noisePa));
  if (same >= 1 - 1e-6) return Number.POSITIVE_INFINITY;
  return Math.max(shortestRun, Math.ceil(Math.log(chance) / Math.log(same)));
}

/** Error function to 1.5e-7 (Abramowitz and Stegun 7.1.26). */
function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * x);
  const polynomial = ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t;
  return 1 - polynomial * Math.exp(-x * x);
}
