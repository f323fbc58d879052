import { cube, type PressureDifference, square } from '../../units/index.js';

/** A ring-shaped gap between a round part and its bore. */
export interface Clearance {
  readonly diameterM: number;
  /** Radial gap, m. */
  readonly gapM: number;
  readonly lengthM: number;
  /** 0 = concentric, 1 = touching at one side. */
  readonly eccentricity?: number;
}

/**
 * Laminar flow through a clearance, m3/s: pi D c3 dp / (12 mu L), times 1 + 1.5 e2 when eccentric (2.5 when touching).
 * @example D 100 mm, c 25 um, L 50 mm, 0.040 Pa s, 160 bar: 196.35 mL/min
 */
export const clearanceFlowM3PerS = (gap: Clearance, difference: PressureDifference, viscosityPaS: number): number =>
  clearanceConductance(gap, viscosityPaS) * difference;

/** Flow per pascal through a clearance, m3/(s Pa). */
export function clearanceConductance(gap: Clearance, viscosityPaS: number): number {
  const eccentric = 1 + 1.5 * square(gap.eccentricity ?? 0);
  return (eccentric * Math.PI * gap.diameterM * cube(gap.gapM)) / (12 * viscosityPaS * gap.lengthM);
}
