import { type Pressure, power, type Temperature, temperatureK } from '../../units/index.js';
import type { Fluid } from '../fluid.js';

/**
 * A nominal bulk modulus brought to working conditions by handbook factors.
 * @example correctedModulusPa(300 000 psi, { temperature: 0.91, pressure: 1.10, air: 0.80 }) // 240 240 psi
 */
export function correctedModulusPa(
  nominalPa: number,
  factors: { readonly temperature?: number; readonly pressure?: number; readonly air?: number },
): number {
  return nominalPa * (factors.temperature ?? 1) * (factors.pressure ?? 1) * (factors.air ?? 1);
}

/** Conditions for which the fluid table's moduli are taken. */
const modulusReference = { pressurePa: 200e5, temperatureK: temperatureK(293.15) } as const;

/** Rise of the secant modulus with pressure, Pa per Pa; petroleum oils, from memory (Hayward: 5.6). */
const risePerPa = 5.6;
/** Kelvins for the modulus to fall to a tenth; petroleum oils, from memory (Hayward: 417). */
const tenthAfterK = 417;

/**
 * Bulk modulus of an oil at another pressure and temperature, Pa: it rises with pressure and falls with temperature
 * (Hayward's law for petroleum oils, from memory: +5.6 Pa per Pa, x 10^(-dT/417 K)). The table's figure stands for
 * 20 °C and a hold between zero and 200 bar. For water-based fluids the law does not hold.
 * @example at 40 °C and 200 bar an oil of 1.5 GPa has 1.343 GPa
 */
export function bulkModulusAtPa(fluid: Fluid, upTo: Pressure, temperature: Temperature): number {
  const warmer = temperature - modulusReference.temperatureK;
  return correctedModulusPa(fluid.bulkModulusPa, {
    temperature: power(10, -warmer / tenthAfterK),
    pressure: 1 + (risePerPa * (upTo - modulusReference.pressurePa)) / fluid.bulkModulusPa,
  });
}
