import { decayForLeakPaPerS, leakForDecayM3PerS, type TrappedOil } from '../../hydraulics/index.js';
import { type Pressure, type PressureDifference, pressureDifferencePa } from '../../units/index.js';
import type { AllowedDecay } from '../plan-types.js';

/** The strictest of several limits, as a fall over a dwell. */
export interface GoverningLimit {
  readonly limit: AllowedDecay;
  readonly dropPa: PressureDifference;
  readonly leakM3PerS: number;
}

/**
 * A limit as a fall of pressure over a dwell, Pa: a percentage of the pressure at its start, a rate or a leak times its
 * length (V/K turns a leak into a rate).
 * @example 0.2 mL/min on 3.92699 L at 1.5 GPa over 5 min: 3.82 bar
 */
export function allowedDropPa(
  limit: AllowedDecay,
  start: Pressure,
  dwellS: number,
  trapped: TrappedOil,
): PressureDifference {
  switch (limit.kind) {
    case 'drop':
      return limit.dropPa;
    case 'percent':
      return pressureDifferencePa(limit.fraction * start);
    case 'rate':
      return pressureDifferencePa(limit.ratePaPerS * dwellS);
    case 'leak':
      return pressureDifferencePa(decayForLeakPaPerS(trapped, limit.leakM3PerS) * dwellS);
  }
}

/** Which of several limits allows the least fall over this dwell; null where there is none. */
export function governingLimit(
  limits: readonly AllowedDecay[],
  start: Pressure,
  dwellS: number,
  trapped: TrappedOil,
): GoverningLimit | null {
  const drops = limits.map((limit) => ({ limit, dropPa: allowedDropPa(limit, start, dwellS, trapped) }));
  const [first, ...others] = drops;
  if (first === undefined) return null;
  const strictest = others.reduce((least, next) => (next.dropPa < least.dropPa ? next : least), first);
  return { ...strictest, leakM3PerS: leakForDecayM3PerS(trapped, strictest.dropPa / dwellS) };
}
