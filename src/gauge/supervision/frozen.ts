import { faultAt } from '../fault.js';
import type { Rule } from './rule.js';

/** Chance that noise alone would keep a living gauge still for so long. */
const chance = 1e-9;
const shortestRun = 20;
const shortestS = 2;
/** Readings in one estimate of the noise. */
const noiseWindow = 32;

export interface Frozen {
  lastPa: number | null;
  beforeLastPa: number | null;
  /** Equal readings in a row, the first included, and when they began. */
  run: number;
  runStartUs: number;
  /** Mean length of the runs before: a gauge that is asked faster than it measures repeats itself. */
  meanRun: number;
  told: boolean;
  /** Sum of squared second differences under way, and how many. */
  squares: number;
  count: number;
  /** Least noise seen in a whole window, pascals; null until then. */
  noisePa: number | null;
}

/**
 * A value that stands still to the last digit for longer than the gauge's own noise would let it. With noise sigma
 * and step d a living gauge repeats a digit with probability of at most p = erf(d / (2 sqrt 2 sigma)) (normal noise,
 * level in the middle of a step); a run of n is told when p^n < 1e-9. The noise is the given one or learned, from
 * second differences, which a steady ramp leaves untouched, and the least of all windows, so that a pump's strokes
 * don't count as noise. A gauge whose noise is far below its step may stand still for ever and is never told.
 */
export const frozen: Rule<Frozen> = {
  start: () => ({
    lastPa: null,
    beforeLastPa: null,
    run: 0,
    runStartUs: 0,
    meanRun: 1,
    told: false,
    squares: 0,
    count: 0,
    noisePa: null,
  }),
  step(state, input, limits) {
    if (input.kind !== 'reading') return null;
    const { timeUs, pressurePa } = input.reading;
    if (pressurePa === null || pressurePa < limits.frozenAbovePa) {
      beginAfresh(state);
      return null;
    }
    if (pressurePa !== state.lastPa) {
      moved(state, timeUs, pressurePa);
      return null;
    }
    state.run += 1;
    const { run, meanRun } = state;
    if (state.told || run < shortestRun) return null;
    const seconds = (timeUs - state.runStartUs) / 1e6;
    if (seconds < shortestS) return null;
    if (run < longestRun(limits.noisePa ?? state.noisePa, limits.resolutionPa) * Math.max(1, meanRun)) return null;
    state.told = true;
    const text = `the reading has stood at {pressure:${pressurePa}} for {seconds:${seconds.toFixed(1)}}, ${run} times to the last digit: noise alone would have moved it`;
    return faultAt(timeUs, 'frozen', text);
  },
};

/** Without pressure nothing is learned; the noise and the habit of repeating are kept. */
function beginAfresh(state: Frozen): void {
  state.lastPa = null;
  state.beforeLastPa = null;
  state.run = 0;
  state.runStartUs = 0;
  state.told = false;
  state.squares = 0;
  state.count = 0;
}

function moved(state: Frozen, timeUs: number, pressurePa: number): void {
  const { lastPa, beforeLastPa, run } = state;
  if (lastPa !== null && beforeLastPa !== null) {
    state.squares += (pressurePa - 2 * lastPa + beforeLastPa) ** 2;
    state.count += run;
    if (state.count >= noiseWindow) {
      const noise = Math.sqrt(state.squares / state.count / 6);
      state.noisePa = Math.min(noise, state.noisePa ?? noise);
      state.squares = 0;
      state.count = 0;
    }
  }
  if (run > 0 && !state.told) state.meanRun += (run - state.meanRun) / 32;
  state.lastPa = pressurePa;
  state.beforeLastPa = lastPa;
  state.run = 1;
  state.runStartUs = timeUs;
  state.told = false;
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
