import { type Pressure, pressurePa, square } from '../../units/index.js';

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
 * Hoop stress, Pa, at a radius between inside and outside, tension positive (Lame).
 * @example 60/100 mm, 20 MPa inside, 5 MPa outside: 26.875 MPa at the bore, 11.875 MPa at the outside
 */
export function hoopStressPa(
  wall: Wall,
  inside: Pressure,
  options: { readonly outside?: Pressure; readonly at?: 'bore' | 'outside' } = {},
): number {
  const outside = options.outside ?? pressurePa(0);
  const [bore2, outside2] = [square(wall.insideM / 2), square(wall.outsideM / 2)];
  const at2 = options.at === 'outside' ? outside2 : bore2;
  const ring2 = outside2 - bore2;
  return (inside * bore2 - outside * outside2) / ring2 + ((inside - outside) * bore2 * outside2) / (ring2 * at2);
}

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

/**
 * By how much the bore grows in diameter under a pressure, m.
 * @example boreGrowthM({ insideM: 0.1, outsideM: 0.12 }, 250 bar) // 0.0706 mm
 */
export const boreGrowthM = (wall: Wall, pressure: Pressure): number =>
  (wall.insideM * pressure) / (2 * wallStiffnessPa(wall));

/**
 * Stiffness of a thin pipe as a container, Pa: E t / D.
 * @example thinPipeStiffnessPa({ diameterM: 0.1, wallM: 0.01, youngPa: 207e9 }) // 20.7 GPa
 */
export const thinPipeStiffnessPa = (pipe: { diameterM: number; wallM: number; youngPa?: number }): number =>
  ((pipe.youngPa ?? steel.youngPa) * pipe.wallM) / pipe.diameterM;
