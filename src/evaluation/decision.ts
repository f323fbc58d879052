import type { TrappedOil } from '../hydraulics/index.js';
import { type AllowedDecay, type DecisionRule, governingLimit as strictestLimit } from '../procedure/index.js';
import { type PressureDifference, pressurePa } from '../units/index.js';

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
