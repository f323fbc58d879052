import { steelExpansionPerK } from '../geometry/barrel-wall.js';

/**
 * Pressure change per kelvin of shut-in oil, Pa/K: stiffness x expansion. `barrel` allows for a steel barrel that warms
 * with the oil: its bore and length grow too, by three times the linear expansion; the stiffness is then that of oil
 * and wall together.
 * @example thermalPressurePaPerK({ stiffnessPa: 1.5e9, expansionPerK: 7e-4 }) // 10.5 bar/K (fluidpower.pro: about 11)
 * @example with a 100/120 mm barrel: 1.383 GPa x (7.0e-4 - 3.5e-5) = 9.19 bar/K
 */
export function thermalPressurePaPerK(hold: {
  readonly stiffnessPa: number;
  readonly expansionPerK: number;
  readonly barrel?: 'cold' | 'warms along';
}): number {
  const wall = hold.barrel === 'warms along' ? 3 * steelExpansionPerK : 0;
  return hold.stiffnessPa * (hold.expansionPerK - wall);
}
