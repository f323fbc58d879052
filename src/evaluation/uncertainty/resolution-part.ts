import { cosOfTurns, exp, sinOfTurns, square } from '../../units/index.js';
import type { BudgetLine } from '../result.js';
import { dropResolutionU } from './gauge-part.js';

/**
 * What the steps of the display leave uncertain in a fitted drop. Rounding is an error that repeats with every step of
 * the pressure; noise smooths it: its m-th harmonic has the amplitude d/(pi m) exp(-2 pi2 m2 (sd/d)2) (Widrow 1956).
 * What remains passes through the weights of a straight-line fit over N steps of fall. With half a step of noise
 * nothing is left, and rounding is then part of the scatter of the readings. It is never more than that of two
 * readings, d/sqrt 6, which also holds when the display never moved.
 * @param noisePa standard deviation of the noise between neighbouring readings as displayed
 * @example averagedResolutionU(1e4, 0, 0) // 4082: no noise, no fall
 * @example averagedResolutionU(1e4, 6e3, 5e4) // below 1
 */
export function averagedResolutionU(resolutionPa: number, noisePa: number, fallPa: number): number {
  if (!(resolutionPa > 0)) return 0;
  const steps = Math.max(0.5, Math.abs(fallPa) / resolutionPa);
  let squares = 0;
  roundingHarmonics(resolutionPa, noisePa).forEach((amplitude, i) => {
    for (const off of stepsUnsure) {
      const turns = (i + 1) * (steps + off);
      const k = 2 * Math.PI * turns;
      const passed = 12 * ((2 * sinOfTurns(turns / 2)) / square(k) - cosOfTurns(turns / 2) / k);
      squares += square(amplitude * passed) / 2 / stepsUnsure.length;
    }
  });
  return Math.min(dropResolutionU(resolutionPa), Math.sqrt(squares));
}

/** The steps of fall are known no better than this: what passes is averaged over these. */
const stepsUnsure = [-0.15, 0, 0.15] as const;

/** Amplitudes of the rounding error's harmonics, Pa, the fundamental first. */
function roundingHarmonics(resolutionPa: number, noisePa: number): number[] {
  const noise = Math.sqrt(Math.max(0, square(noisePa) - square(resolutionPa) / 12)) / resolutionPa;
  return Array.from({ length: 12 }, (_, i) => {
    const m = i + 1;
    return (resolutionPa / (Math.PI * m)) * exp(-2 * square(Math.PI * m * noise));
  });
}

/**
 * How much of the rounding noise leaves standing: the amplitude of its fundamental against that of a noiseless display.
 * @example undithered(1e4, 0) // 1
 * @example undithered(1e4, 5e3) // 0.02: half a step of noise smooths it
 */
export function undithered(resolutionPa: number, noisePa: number): number {
  if (!(resolutionPa > 0)) return 0;
  const noise = Math.sqrt(Math.max(0, square(noisePa) - square(resolutionPa) / 12)) / resolutionPa;
  return exp(-2 * square(Math.PI * noise));
}

/** The budget line of {@link averagedResolutionU}. */
export function resolutionLine(resolutionPa: number, noisePa: number, fallPa: number): BudgetLine {
  return {
    of: 'drop',
    name: 'resolution',
    u: averagedResolutionU(resolutionPa, noisePa, fallPa),
    degreesOfFreedom: null,
    distribution: 'rectangular',
    basis: `steps of {difference:${resolutionPa}} against noise of {difference:${noisePa}} (GUM F.2.2.1; averaging by Widrow 1956)`,
  };
}
