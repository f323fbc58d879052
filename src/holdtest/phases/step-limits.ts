/** Rises of a dwell that sum up to less than this share of the target void nothing. */
export const harmlessRise = 0.0015;

/** What tells a step in the pressure of a dwell from noise and from settling. */
export interface StepSetting {
  readonly targetPa: number;
  /** Step of the gauge's display. */
  readonly resolutionPa: number;
}

/** The limits of a step at a signal's noise and rate. None of them falls when the noise or the interval grows. */
export interface StepLimits {
  /**
   * A rise from one second to the next that counts as fed: more than a step of the gauge, and than four standard errors
   * of a second's mean.
   */
  readonly strokePa: number;
  /** A rise, or a sum of fed ones, that voids the dwell. */
  readonly risePa: number;
  /** A fall that voids it once the pressure stands still again. */
  readonly fallPa: number;
}

/** @param intervalUs null before the second reading */
export function stepLimits(
  { targetPa, resolutionPa }: StepSetting,
  roughnessPa: number,
  intervalUs: number | null,
): StepLimits {
  const readings = Math.max(1, 1e6 / (intervalUs ?? 1e6));
  const meanU = 0.886 * roughnessPa * Math.sqrt(2 / readings);
  const noisePa = Math.max(4 * resolutionPa, 3 * roughnessPa);
  return {
    strokePa: Math.max(resolutionPa, 4 * meanU),
    risePa: Math.max(harmlessRise * targetPa, noisePa),
    fallPa: Math.max(0.004 * targetPa, 2 * noisePa),
  };
}
