import type { Temperature } from '../units/index.js';

/** A hydraulic fluid as data. Moduli in pascals, expansion in 1/K, density in kg/m3, heat in J/(kg K), viscosity in Pa s. */
export interface Fluid {
  readonly name: string;
  /** Isothermal secant bulk modulus between zero and 200 bar at 20 °C, without air. */
  readonly bulkModulusPa: number;
  /** Rise of the secant with pressure, Pa for each Pa; absent: the modulus is stated, and the same at every pressure. */
  readonly secantRise?: number;
  /** Relative standard uncertainty of the bulk modulus. */
  readonly bulkModulusRelU: number;
  readonly expansionPerK: number;
  readonly expansionRelU: number;
  readonly densityKgPerM3: number;
  readonly heatCapacityJPerKgK: number;
  /** Dynamic viscosity at `viscosityAtK`. */
  readonly viscosityPaS: number;
  readonly viscosityAtK: Temperature;
  /** Who says so. */
  readonly source: string;
}
