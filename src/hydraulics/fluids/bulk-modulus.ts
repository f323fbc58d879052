import type { Pressure } from '../../units/index.js';
import type { Fluid } from '../fluid.js';

type Stiff = Pick<Fluid, 'bulkModulusPa' | 'secantRise'>;

/** The moduli of the fluid table are secants of a hold between zero and this. */
const tabledAtPa = 200e5;

/**
 * Secant bulk modulus from zero to a pressure, Pa: pressure over the share of its first volume that the liquid loses
 * (ASTM D6793, 3.1.1). It rises in a straight line with pressure (Hayward 1967, Br. J. Appl. Phys. 18, 965).
 * @example ISO VG 46 up to 250 bar: 1.528 GPa
 */
export const secantModulusPa = ({ bulkModulusPa, secantRise }: Stiff, upTo: Pressure): number =>
  secantRise === undefined ? bulkModulusPa : bulkModulusPa + secantRise * (upTo - tabledAtPa);

/**
 * Tangent bulk modulus at a pressure, Pa: volume there times the rise of pressure over the loss of volume (ASTM D6793,
 * 3.1.2). From the secant S = S0 + m p it follows as S (S - p) / S0.
 * @example ISO VG 46 at 250 bar: 1.655 GPa; at 5 bar: 1.393 GPa
 */
export function tangentModulusPa(fluid: Stiff, at: Pressure): number {
  if (fluid.secantRise === undefined) return fluid.bulkModulusPa;
  const secantPa = secantModulusPa(fluid, at);
  return (secantPa * (secantPa - at)) / (secantPa - fluid.secantRise * at);
}

/**
 * Secant between two pressures, Pa: what is pumped in from the one to the other is the volume times the rise over this.
 * @example ISO VG 46 from 100 to 250 bar: 1.590 GPa
 */
export function secantBetweenPa(fluid: Stiff, from: Pressure, to: Pressure): number {
  const lost = (upTo: Pressure): number => upTo / secantModulusPa(fluid, upTo);
  return from === to ? tangentModulusPa(fluid, to) : (to - from) / (lost(to) - lost(from));
}

/**
 * Thermal expansion at a pressure, 1/K. Expansion and stiffness change against each other, so that the pressure for a
 * kelvin, their product, stays that of the fluid's own figures (from memory: it hardly changes for oils).
 * @example ISO VG 46, 7.0e-4 /K: 6.35e-4 /K at 250 bar
 */
export const expansionAtPerK = (fluid: Stiff & Pick<Fluid, 'expansionPerK'>, at: Pressure): number =>
  (fluid.expansionPerK * fluid.bulkModulusPa) / tangentModulusPa(fluid, at);
