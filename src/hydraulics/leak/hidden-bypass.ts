import { type Pressure, type PressureDifference, pressureDifferencePa } from '../../units/index.js';

/**
 * How far the pressure falls when a missing piston seal lets oil into a blocked dead volume on the other side of a
 * bottomed piston, Pa: p x Vd / (V + Vd). Then it holds for ever: such a hold can claim nothing about the seal.
 * @example 250 bar in 3.92699 L into 20 mL: 1.27 bar
 */
export const fallIntoDeadVolumePa = (at: Pressure, volumeM3: number, deadVolumeM3: number): PressureDifference =>
  pressureDifferencePa((at * deadVolumeM3) / (volumeM3 + deadVolumeM3));
