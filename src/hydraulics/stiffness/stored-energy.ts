import { type Pressure, power, square } from '../../units/index.js';
import { airShareLeft, atmospherePa } from './entrained-air.js';

/** What a hold would let go at once, J: oil and walls as a spring, trapped air as a gas. */
export interface StoredEnergy {
  readonly oilJ: number;
  readonly airJ: number;
}

/**
 * Energy stored at a gauge pressure. Oil and walls: p2 V / (2 K), K over the whole rise. Air: isentropic expansion to the atmosphere,
 * p V / (k - 1) x [1 - (p0/p)^((k-1)/k)] with k = 1.4, of what slow compression left of it.
 * @example 3.92699 L at 250 bar, 1.5 GPa, 39.27 mL free air: oil 818 J, air 7.9 J
 */
export function storedEnergy(hold: {
  readonly volumeM3: number;
  readonly bulkModulusPa: number;
  readonly at: Pressure;
  /** Volume that the trapped air has at the atmosphere. */
  readonly freeAirM3?: number;
}): StoredEnergy {
  const absolutePa = hold.at + atmospherePa;
  const airM3 = (hold.freeAirM3 ?? 0) * airShareLeft(hold.at);
  const expanded = 1 - power(atmospherePa / absolutePa, 0.4 / 1.4);
  return {
    oilJ: (square(hold.at) * hold.volumeM3) / (2 * hold.bulkModulusPa),
    airJ: ((absolutePa * airM3) / 0.4) * expanded,
  };
}
