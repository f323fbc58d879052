import type { Pressure } from '../../units/index.js';
import { circleM2 } from '../geometry/circle.js';

/**
 * Stiffness of a hose wall as a container, Pa, from its maker's volumetric expansion: m3 per metre at a pressure.
 * @example 12.7 mm hose that takes 2.5 mL more a metre at 200 bar: 1.01 GPa
 */
export function hoseStiffnessPa(hose: {
  readonly boreM: number;
  readonly expansionM3PerM: number;
  readonly at: Pressure;
}): number {
  return (hose.at * circleM2(hose.boreM)) / hose.expansionM3PerM;
}

/**
 * Oil in a line, m3.
 * @example lineVolumeM3(0.0127, 3) // 380 mL
 */
export const lineVolumeM3 = (boreM: number, lengthM: number): number => circleM2(boreM) * lengthM;
