import { type Pressure, power } from '../../units/index.js';

/** Standard atmosphere, Pa. */
export const atmospherePa = 101_325;

/** Slow compression lets air stay at the oil's temperature; in a fast one it keeps its heat (exponent 1.4). */
export type AirProcess = 'slow' | 'fast';

const exponentOf: Readonly<Record<AirProcess, number>> = { slow: 1, fast: 1.4 };

/**
 * Stiffness of a gas at an absolute pressure, Pa: the pressure itself when slow, 1.4 times that when fast.
 * @example gasStiffnessPa(250e5, 'fast') // 350e5
 */
export const gasStiffnessPa = (absolutePa: number, process: AirProcess): number => exponentOf[process] * absolutePa;

/**
 * What is left of a volume of free air, as a share of its volume at the atmosphere, at a gauge pressure. Air that
 * dissolves is not counted: the real share is smaller.
 * @example airShareLeft(pressurePa(250e5)) // 0.00404
 */
export const airShareLeft = (pressure: Pressure, process: AirProcess = 'slow'): number =>
  power(atmospherePa / (atmospherePa + pressure), 1 / exponentOf[process]);

/**
 * Oil that free air swallows between two gauge pressures, m3; positive from low to high.
 * @example 1 % free air in 3926.99 mL, 0 to 250 bar: 39.1 mL
 */
export const oilForAirM3 = (freeAirM3: number, from: Pressure, to: Pressure, process: AirProcess = 'slow'): number =>
  freeAirM3 * (airShareLeft(from, process) - airShareLeft(to, process));

/**
 * Give of free air at a gauge pressure, m3 per Pa for each m3 of it at the atmosphere: its share there over its
 * stiffness.
 */
export const airGivePerPa = (pressure: Pressure, process: AirProcess = 'slow'): number =>
  airShareLeft(pressure, process) / gasStiffnessPa(atmospherePa + pressure, process);
