/** A rise of less than this share of the target spoils nothing. */
const harmlessRise = 0.0015;

/** What tells a step in the pressure of a dwell from noise and from settling. */
export interface StepSetting {
  readonly targetPa: number;
  /** Step of the gauge's display. */
  readonly resolutionPa: number;
}

/** The limits of a step at a signal's noise and rate. None of them falls when the noise or the interval grows. */
export interface StepLimits {
  /** A rise that spoils the dwell; smaller strokes that add up are the evaluation's to find. */
  readonly risePa: number;
  /** A fall that voids it once the pressure stands still again. */
  readonly fallPa: number;
}

export function stepLimits({ targetPa, resolutionPa }: StepSetting, roughnessPa: number): StepLimits {
  const noisePa = Math.max(4 * resolutionPa, 3 * roughnessPa);
  return {
    risePa: Math.max(harmlessRise * targetPa, noisePa),
    fallPa: Math.max(0.004 * targetPa, 2 * noisePa),
  };
}
