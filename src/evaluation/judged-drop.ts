import type { StageResult } from './result.js';

/** A drop as it is held against its limit: over the time that was demanded. */
export interface JudgedDrop {
  readonly dropPa: number;
  /** Expanded, 95 %. */
  readonly uncertaintyPa: number;
  /** The demanded dwell, or the whole dwell where that was shorter, s. */
  readonly overS: number;
  /** The dwell went on for longer: its own drop is another figure. */
  readonly scaled: boolean;
}

/** Longer by less than this share, and both print alike. */
const asGoodAsEqual = 1.005;

/**
 * The drop of a dwell that went on while the points were looked at, brought to the time that was demanded; a dwell that
 * was cut short is judged by what it lost. Null where no drop was measured.
 */
export function judgedDrop({
  dropPa,
  dropUncertaintyPa,
  dwellS,
  demandedDwellS,
}: Pick<StageResult, 'dropPa' | 'dropUncertaintyPa' | 'dwellS' | 'demandedDwellS'>): JudgedDrop | null {
  if (dropPa === null || dropUncertaintyPa === null || dwellS === null) return null;
  const overS = Math.min(dwellS, demandedDwellS);
  const scale = overS / dwellS;
  return {
    dropPa: dropPa * scale,
    uncertaintyPa: dropUncertaintyPa * scale,
    overS,
    scaled: dwellS > asGoodAsEqual * demandedDwellS,
  };
}
