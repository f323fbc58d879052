import { correctionAt } from '../gauge/index.js';
import type { TrappedOil } from '../hydraulics/index.js';
import { type AllowedDecay, type DecisionRule, governingLimit as strictestLimit } from '../procedure/index.js';
import { type PressureDifference, pressurePa } from '../units/index.js';
import type { DwellContext } from './context.js';
import type { StageResult } from './result.js';

/** How a value stands to a limit. The conditional words are those of ILAC-G8:09/2019 with the guard band w = U. */
export type Acceptance = 'pass' | 'conditional pass' | 'conditional fail' | 'fail';

/**
 * Where a value with expanded uncertainty U (k = 2) stands to an upper limit. `simple`: w = 0, pass up to the limit,
 * up to 50 % false accept at the limit itself. `guarded`: pass up to limit - U (below 2.5 % false accept), fail above
 * limit + U, conditional between (ILAC-G8:09/2019).
 * @example acceptance('guarded', 4.4, 1.2, 5.0) // 'conditional pass'
 */
export function acceptance(rule: DecisionRule, value: number, expandedU: number, limit: number): Acceptance {
  const guard = rule === 'guarded' ? expandedU : 0;
  if (value <= limit - guard) return 'pass';
  if (value <= limit) return 'conditional pass';
  return value <= limit + guard ? 'conditional fail' : 'fail';
}

/** A limit together with the drop it allows over the dwell. */
export interface GoverningLimit {
  readonly limit: AllowedDecay;
  readonly allowedDropPa: PressureDifference;
}

/** Of several limits the one that allows the least drop over the demanded dwell; null when there is none. */
export function governingLimit(
  allowed: readonly AllowedDecay[],
  startPa: number,
  dwellS: number,
  trapped: TrappedOil,
): GoverningLimit | null {
  const strictest = strictestLimit(allowed, pressurePa(startPa), dwellS, trapped);
  return strictest && { limit: strictest.limit, allowedDropPa: strictest.dropPa };
}

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

/**
 * What the gauge showed, as a level: with the correction of its calibration there. Only levels are corrected: a drop is
 * a difference on one gauge, in which offset and gain cancel, and what two neighbouring corrections differ by is less
 * than the uncertainty with which a laboratory states them.
 * @example levelPa({ ...context, corrections: [{ atPa: 0, addPa: 0 }, { atPa: 400e5, addPa: 0.8e5 }] }, 100e5) // 100.2e5
 */
export function levelPa({ corrections }: Pick<DwellContext, 'corrections'>, shownPa: number): number {
  if (corrections === undefined || corrections.length === 0) return shownPa;
  return shownPa + correctionAt(corrections, pressurePa(shownPa));
}
