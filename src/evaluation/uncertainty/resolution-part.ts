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
  const noise = Math.sqrt(Math.max(0, noisePa ** 2 - resolutionPa ** 2 / 12)) / resolutionPa;
  const steps = Math.max(0.5, Math.abs(fallPa) / resolutionPa);
  let square = 0;
  for (let m = 1; m <= 12; m++) {
    const amplitude = (resolutionPa / (Math.PI * m)) * Math.exp(-2 * (Math.PI * m * noise) ** 2);
    const k = 2 * Math.PI * m * steps;
    const passed = 12 * ((2 * Math.sin(k / 2)) / k ** 2 - Math.cos(k / 2) / k);
    square += (amplitude * passed) ** 2 / 2;
  }
  return Math.min(dropResolutionU(resolutionPa), Math.sqrt(square));
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
