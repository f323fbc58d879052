import {
  type Pressure,
  type PressureDifference,
  pressureDifferencePa,
  square,
  type Temperature,
  type TemperatureDifference,
  temperatureDifferenceK,
} from '../../units/index.js';
import type { Fluid } from '../fluid.js';

type Warming = Pick<Fluid, 'expansionPerK' | 'densityKgPerM3' | 'heatCapacityJPerKgK'>;

/**
 * By how much oil warms when it is pumped up faster than heat can leave: gamma T dp / (rho cp).
 * @example 7.0e-4 /K, 870 kg/m3, 1900 J/(kg K), 300 K, 250 bar: 3.18 K
 */
export const heatOfCompressionK = (
  fluid: Warming,
  temperature: Temperature,
  rise: PressureDifference,
): TemperatureDifference =>
  temperatureDifferenceK(
    (fluid.expansionPerK * temperature * rise) / (fluid.densityKgPerM3 * fluid.heatCapacityJPerKgK),
  );

/** gamma2 T / (rho cp), 1/Pa: by how much the slow compressibility exceeds the fast one. */
const heatCompressibilityPerPa = (fluid: Warming, temperature: Temperature): number =>
  (square(fluid.expansionPerK) * temperature) / (fluid.densityKgPerM3 * fluid.heatCapacityJPerKgK);

/** Fast (adiabatic) bulk modulus, Pa, from the slow (isothermal) one: 1/Ks = 1/Kt - gamma2 T/(rho cp). */
export const fastModulusPa = (slowPa: number, fluid: Warming, temperature: Temperature): number =>
  1 / (1 / slowPa - heatCompressibilityPerPa(fluid, temperature));

/**
 * Slow (isothermal) bulk modulus, Pa, from the fast (adiabatic) one.
 * @example 1.5 GPa fast, 7.0e-4 /K, 870 kg/m3, 1900 J/(kg K), 300 K: 1.323 GPa, a ratio of 1.133
 */
export const slowModulusPa = (fastPa: number, fluid: Warming, temperature: Temperature): number =>
  1 / (1 / fastPa + heatCompressibilityPerPa(fluid, temperature));

/**
 * How far pressure falls in a rigid chamber with no leak at all once the heat of fast pumping has left, Pa:
 * p x (1 - Kt/Ks). The most that heat of compression can account for; walls and slow pumping make it less.
 * @example as above, 250 bar: 29.4 bar
 */
export function fallAsHeatLeavesPa(fluid: Fluid, temperature: Temperature, at: Pressure): PressureDifference {
  const fast = fastModulusPa(fluid.bulkModulusPa, fluid, temperature);
  return pressureDifferencePa(at * (1 - fluid.bulkModulusPa / fast));
}
