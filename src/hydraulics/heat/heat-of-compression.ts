import {
  type Pressure,
  type PressureDifference,
  pressureDifferencePa,
  type Temperature,
  type TemperatureDifference,
  temperatureDifferenceK,
} from '../../units/index.js';
import type { Fluid } from '../fluid.js';
import { expansionAtPerK } from '../fluids/bulk-modulus.js';

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

/**
 * How far pressure falls with no leak at all once the heat of fast pumping has left, Pa: warming x expansion x stiffness
 * of oil, walls and hoses together. The most that heat of compression can account for; slow pumping makes it less.
 * @param stiffnessPa the effective one at the pressure
 * @example 1.5 GPa rigid, 7.0e-4 /K, 870 kg/m3, 1900 J/(kg K), 300 K, 250 bar: 33.4 bar; with a 100/120 mm barrel 30.8
 */
export const fallAsHeatLeavesPa = (
  fluid: Fluid,
  temperature: Temperature,
  at: Pressure,
  stiffnessPa: number,
): PressureDifference =>
  pressureDifferencePa(
    heatOfCompressionK(fluid, temperature, pressureDifferencePa(at)) * expansionAtPerK(fluid, at) * stiffnessPa,
  );
