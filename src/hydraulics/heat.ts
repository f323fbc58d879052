import {
  type Pressure,
  type PressureDifference,
  power,
  pressureDifferencePa,
  type Temperature,
  type TemperatureDifference,
  temperatureDifferenceK,
  temperatureK,
} from '../units/index.js';
import { expansionAtPerK, type Fluid } from './fluids.js';
import { chamberVolumeM3, circleM2, steelExpansionPerK } from './geometry.js';
import type { ShutIn } from './stiffness.js';

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

/** How much heat a rise of pressure leaves in the oil shut in, and how quickly it may go. */
export interface HeatOfHold {
  /** Warming of the oil by a quick rise, K/Pa: gamma T / (rho cp). */
  readonly kelvinPerPa: number;
  /** Least and greatest time in which the oil gives its heat to the metal round it, s. */
  readonly leastS: number;
  readonly greatestS: number;
  /** Time in which oil and metal together give theirs to the room, s. */
  readonly outerS: number;
}

/** Oil to a still wall by natural convection in any shop oil, W/(m2 K); metal to still air. Handbook ranges, from memory. */
const [leastToWall, mostToWall, toRoom] = [5, 400, 8];

/** Share of its heat that oil gives to the metal before both are equally warm (common practice, no source). */
const toMetal = 0.55;

/** Bore of a line that stands by itself, m: common practice, no source. */
const lineBoreM = 0.01;

/** A bench oil's temperature is near this, K. */
const oilK = temperatureK(300);

/**
 * Heat of compression in a hold: warming by gamma T/(rho cp), and times rho cp V/(h A) from the chamber's volume and
 * wetted surface.
 * @example 100/56 x 500 mm on A extended, ISO VG 46: 1.26e-7 K/Pa, 52 to 4157 s to the metal
 */
export function heatOfHold(hold: ShutIn): HeatOfHold {
  const { fluid } = hold;
  const heatPerM3K = fluid.densityKgPerM3 * fluid.heatCapacityJPerKgK;
  const [narrowM, wideM] = depthsM(hold);
  const metalTime = (perM2K: number, deepM: number): number => (toMetal * heatPerM3K * deepM) / perM2K;
  return {
    kelvinPerPa: (fluid.expansionPerK * oilK) / heatPerM3K,
    leastS: metalTime(mostToWall, narrowM),
    greatestS: metalTime(leastToWall, wideM),
    outerS: (2 * heatPerM3K * wideM) / toRoom,
  };
}

/** Least and greatest of it: a vessel of stated volume may be drilled galleries or one cavity as compact as a cube. */
function depthsM(hold: ShutIn): readonly [number, number] {
  const { kind, volumeM3 = 0 } = hold.cylinder;
  if (kind === 'vessel') return [lineBoreM / 4, Math.max(lineBoreM / 4, power(volumeM3, 1 / 3) / 6)];
  const deepM = depthM(hold);
  return [deepM, deepM];
}

/** Volume of the oil over its wetted surface, m. */
function depthM({ cylinder, port, position, override }: ShutIn): number {
  const volumeM3 = chamberVolumeM3(cylinder, port, position);
  if (override?.volumeM3 !== undefined && override.volumeM3 < 0.5 * volumeM3) return lineBoreM / 4;
  if (!(volumeM3 > 0)) return lineBoreM / 4;
  const rodM = port === 'B' || cylinder.kind === 'double-rod' ? cylinder.rodM : 0;
  const areaM2 = circleM2(cylinder.boreM) - circleM2(rodM);
  const lengthM = volumeM3 / areaM2;
  return volumeM3 / (Math.PI * (cylinder.boreM + rodM) * lengthM + 2 * areaM2);
}

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
