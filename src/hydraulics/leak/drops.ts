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
