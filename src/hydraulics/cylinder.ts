import type { Pressure } from '../units/index.js';

/** The ports of a cylinder: A at the cap end, B at the rod end. */
export type PortName = 'A' | 'B';

/**
 * A vessel has no piston: a manifold, a valve body, a block, of which volume and parts are stated. A single-acting
 * cylinder is pushed out at port A, or pulled in at port B.
 */
export type CylinderKind =
  | 'double-acting'
  | 'double-rod'
  | 'single-acting'
  | 'single-acting pull'
  | 'plunger'
  | 'telescopic'
  | 'vessel';

/** Where the piston stands during a hold; a vessel has none. */
export type PistonPosition = 'extended' | 'retracted' | 'mid-stroke restrained' | 'no piston';

/** What is on the port that is not under test: open to the air, plugged, or plugged with a gauge on it. */
export type OppositePort = 'open' | 'blocked' | 'gauge';

/** The measures of a cylinder that the hydraulics need; of a vessel bore, rod and stroke are 0. Lengths in metres, pressure in pascals. */
export interface Cylinder {
  readonly kind: CylinderKind;
  readonly boreM: number;
  /** 0 for a plunger whose rod is the piston. */
  readonly rodM: number;
  readonly strokeM: number;
  readonly ratedPressurePa: Pressure;
  /** Outside diameter of the barrel; without it the wall counts as rigid and the uncertainty of stiffness grows. */
  readonly barrelOutsideM?: number;
  /** Bores of the stages of a telescopic cylinder, largest first. */
  readonly stageBoresM?: readonly number[];
  /** Strokes of those stages, in the same order; absent: taken as equal. */
  readonly stageStrokesM?: readonly number[];
  /** Of a vessel: the oil in it, and the parts that this volume's pressure loads. */
  readonly volumeM3?: number;
  readonly parts?: readonly string[];
}
