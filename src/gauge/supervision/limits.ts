/** What a gauge that works can't do. SI; null switches a rule off. */
export interface SupervisionLimits {
  /** No reading for longer than this is silence. Null for a gauge that sends only when stable. */
  readonly silentAfterS: number | null;
  /** Readings a second as they should come; null: learned from the first two seconds. */
  readonly ratePerS: number | null;
  readonly watchRate: boolean;
  readonly rangeLowPa: number;
  readonly rangeHighPa: number;
  /** One step of the digits sent, pascals. */
  readonly resolutionPa: number;
  /** Standard deviation of the gauge's noise, pascals; null: learned while it is under pressure. */
  readonly noisePa: number | null;
  /** Below this a display may well stand at zero, and standing still means nothing. */
  readonly frozenAbovePa: number;
  /** A rise faster than this is none of oil's. */
  readonly jumpPaPerS: number;
}

/** How a gauge talks: by itself, when asked, or only once its value is stable. */
export type TalkMode = 'continuous' | 'polled' | 'when-stable';

/**
 * Limits for a gauge of that range and resolution. Rules of ours, common practice, no source: silent after 2 s or
 * five readings, whichever is longer; a jump is a rise of the whole range within half a second.
 */
export function supervisionLimits(gauge: {
  readonly rangeLowPa: number;
  readonly rangeHighPa: number;
  readonly resolutionPa: number;
  readonly ratePerS?: number;
  readonly noisePa?: number;
  readonly mode?: TalkMode;
  readonly silentAfterS?: number;
}): SupervisionLimits {
  const span = gauge.rangeHighPa - gauge.rangeLowPa;
  const stableOnly = gauge.mode === 'when-stable';
  return {
    silentAfterS: stableOnly ? null : (gauge.silentAfterS ?? Math.max(2, 5 / (gauge.ratePerS ?? 10))),
    ratePerS: gauge.ratePerS ?? null,
    watchRate: !stableOnly,
    rangeLowPa: gauge.rangeLowPa,
    rangeHighPa: gauge.rangeHighPa,
    resolutionPa: gauge.resolutionPa,
    noisePa: gauge.noisePa ?? null,
    frozenAbovePa: Math.max(20 * gauge.resolutionPa, 0.01 * span),
    jumpPaPerS: 2 * span,
  };
}
