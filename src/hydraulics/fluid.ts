import type { Temperature } from '../units/index.js';

/** A hydraulic fluid as data. Moduli in pascals, expansion in 1/K, density in kg/m3, heat in J/(kg K), viscosity in Pa s. */
export interface Fluid {
  readonly name: string;
  /** Isothermal secant bulk modulus, without air. */
  readonly bulkModulusPa: number;
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
