import { square } from '../../units/index.js';
/**
 * Area of a circle by its diameter, m2.
 * @example circleM2(0.1) // 0.00785398
 */
export const circleM2 = (diameterM: number): number => (Math.PI / 4) * square(diameterM);
