import type { Pressure } from '../../units/index.js';
import type { Cylinder, PortName } from '../cylinder.js';
import { pistonAreaM2 } from './areas.js';

/**
 * Force of a pressure at one port, N, with the other port at atmosphere and without friction. Port A pushes the rod
 * out, port B pulls it in; the figure is positive for both. It is also what a restrained rod must bear.
 * @example pistonForceN(of 100/56 mm, 'A', 160 bar) // 125.66 kN; 'B' // 86.26 kN
 */
export const pistonForceN = (cylinder: Cylinder, port: PortName, pressure: Pressure): number =>
  pressure * pistonAreaM2(cylinder, port);
