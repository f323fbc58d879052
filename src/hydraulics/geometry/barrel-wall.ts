import { square } from '../../units/index.js';

/** A thick round wall. Steel unless said otherwise. */
export interface Wall {
  readonly insideM: number;
  readonly outsideM: number;
  /** Young's modulus, Pa; 207 GPa for steel when absent. */
  readonly youngPa?: number;
  /** Poisson's ratio; 0.3 for steel when absent. */
  readonly poisson?: number;
}

const steel = { youngPa: 207e9, poisson: 0.3 } as const;

/** Linear expansion of carbon steel, 1/K (11 to 12.5e-6: common practice, no source). */
export const steelExpansionPerK = 11.7e-6;

/**
 * Stiffness of the barrel as a container, Pa: pressure over the share by which its volume grows (Lame, open ends:
 * 1/K = (2/E) x [(Do2 + Di2)/(Do2 - Di2) + nu]; the ends carry their load through the piston or the tie rods).
 * @example wallStiffnessPa({ insideM: 0.1, outsideM: 0.12 }) // 17.71 GPa
 */
export function wallStiffnessPa(wall: Wall): number {
  const [young, poisson] = [wall.youngPa ?? steel.youngPa, wall.poisson ?? steel.poisson];
  const [inside2, outside2] = [square(wall.insideM), square(wall.outsideM)];
  return young / (2 * ((outside2 + inside2) / (outside2 - inside2) + poisson));
}
