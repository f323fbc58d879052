import { log, type PressureDifference } from '../../units/index.js';

/**
 * How long to wait until an exponential settle is slower than a rate, s: tau ln(dP / (tau r)); 0 when it already is.
 * The sign of size does not matter: oil that warms settles upwards.
 * @example settleWaitS(20 bar, 300 s, 0.1 bar/min) // 1107 s = 18.4 min
 */
export function settleWaitS(size: PressureDifference, tauS: number, ratePaPerS: number): number {
  if (!(tauS > 0 && ratePaPerS > 0)) throw new Error('a time constant and a rate must be more than zero');
  return Math.max(0, tauS * log(Math.abs(size) / (tauS * ratePaPerS)));
}
