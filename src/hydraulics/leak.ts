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

/**
 * How far a piston drifts for oil lost, m: volume over area.
 * @example 3 mL on a 101.6 mm bore: 0.37 mm
 */
export const driftM = (oilM3: number, areaM2: number): number => oilM3 / areaM2;

/** Drops in a millilitre when nobody set it otherwise (derived from MIL-DTL-5523E 3.12.1). API 598 counts 16. */
export const usualDropsPerMl = 20;

/**
 * Drops as a volume, m3.
 * @example dropsToM3(6) // 0.3 mL
 */
export const dropsToM3 = (drops: number, dropsPerMl: number = usualDropsPerMl): number => (drops / dropsPerMl) * 1e-6;

/**
 * A volume as drops.
 * @example m3ToDrops(0.3e-6) // 6
 */
export const m3ToDrops = (volumeM3: number, dropsPerMl: number = usualDropsPerMl): number =>
  volumeM3 * 1e6 * dropsPerMl;
