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
