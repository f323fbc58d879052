import { correctionAt } from '../gauge/index.js';
import { pressurePa } from '../units/index.js';
import type { DwellContext } from './context.js';

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
