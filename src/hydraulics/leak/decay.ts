import { exp, type Pressure, pressurePa, square } from '../../units/index.js';

/** The oil that a leak empties: volume and effective stiffness. */
export interface LeakingVolume {
  readonly volumeM3: number;
  readonly bulkModulusPa: number;
}

/**
 * Leak that explains a fall of pressure, m3/s: (V/K) x rate; positive for a falling pressure.
 * @example 3.92699 L, 1.5 GPa, 5 bar in 5 min: 0.261799 mL/min
 */
export const leakForDecayM3PerS = (held: LeakingVolume, ratePaPerS: number): number =>
  (held.volumeM3 / held.bulkModulusPa) * ratePaPerS;

/**
 * Fall of pressure that a leak brings, Pa/s: (K/V) x leak; positive for a falling pressure.
 * @example 0.2 mL/min out of 3.92699 L at 1.5 GPa: 0.764 bar/min
 */
export const decayForLeakPaPerS = (held: LeakingVolume, leakM3PerS: number): number =>
  (held.bulkModulusPa / held.volumeM3) * leakM3PerS;

/** Pressure after a time under a laminar leak of `conductance` m3/(s Pa): p0 exp(-c K t / V). */
export const laminarDecay = (held: LeakingVolume, start: Pressure, conductance: number, afterS: number): Pressure =>
  pressurePa(start * exp((-conductance * held.bulkModulusPa * afterS) / held.volumeM3));

/**
 * Pressure after a time under an orifice leak: the root of the pressure falls in a straight line,
 * sqrt(p) = sqrt(p0) - (K/V)(Q0/sqrt(p0)) t / 2, down to zero. `leakAtStartM3PerS` is the flow at `start`.
 */
export function orificeDecay(
  held: LeakingVolume,
  start: Pressure,
  leakAtStartM3PerS: number,
  afterS: number,
): Pressure {
  if (start <= 0) return start;
  const emptied = (decayForLeakPaPerS(held, leakAtStartM3PerS) * afterS) / (2 * start);
  return pressurePa(start * square(Math.max(0, 1 - emptied)));
}
