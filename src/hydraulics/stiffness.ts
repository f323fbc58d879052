import { DwellmarkError, type Pressure, power, rootSumSquares, square } from '../units/index.js';
import type { Cylinder, PistonPosition, PortName } from './cylinder.js';
import { type Fluid, secantBetweenPa } from './fluids.js';
import { chamberVolumeM3, circleM2, wallStiffnessPa } from './geometry.js';

/**
 * Strokes of a booster for a volume of oil, a whole number. A share of each stroke is lost to its own compression and
 * valves: `delivers` is what comes out of a stroke at pressure, 1 = all.
 * @example boosterStrokes(65.4e-6, 2e-6) // 33
 */
export function boosterStrokes(oilM3: number, strokeM3: number, delivers = 1): number {
  if (!(strokeM3 > 0 && delivers > 0)) throw new Error('a booster stroke must deliver something');
  return Math.max(0, Math.ceil(oilM3 / (strokeM3 * delivers) - 1e-9));
}

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

/** What a hold shuts in: which chamber, with which oil, behind which lines. */
export interface ShutIn {
  readonly cylinder: Cylinder;
  readonly port: PortName;
  readonly position: PistonPosition;
  readonly fluid: Fluid;
  /** Oil in hoses, pipes and blocks up to the shut valve, m3. */
  readonly lineVolumeM3: number;
  /** Stiffness of the line as a container, Pa (`hoseStiffnessPa`); without it the line counts as rigid, and as doubtful. */
  readonly hoseStiffnessPa?: number;
  /** Figures the job states; each is taken exactly as given in place of what cylinder and fluid would make of it. */
  readonly override?: {
    readonly volumeM3?: number;
    /** Stiffness of everything together: no wall, hose or air is added to it. */
    readonly bulkModulusPa?: number;
    readonly expansionPerK?: number;
  };
  /** Free air as a share of the volume, at the atmosphere; 0 when absent. */
  readonly airFraction?: number;
}

/** Volumes and their gives (m3 per Pa), each with a standard uncertainty, as a share of the figure unless named. */
export interface ShutInGive {
  readonly volumeM3: number;
  readonly volumeUM3: number;
  readonly chamberM3: number;
  /** Of the oil, or of everything when the job states the stiffness. */
  readonly oilM3PerPa: number;
  readonly wallM3PerPa: number;
  readonly hoseM3PerPa: number;
  /** Standard uncertainty of the sum of the three, m3 per Pa, without that of the volume. */
  readonly uM3PerPa: number;
  readonly freeAirM3: number;
  /** Stiffness of the barrel wall, Pa, when it is known and counts. */
  readonly wallPa?: number;
}

/**
 * Relative standard uncertainties, all common practice or estimates: dead volume of ports and cushions and dimensions
 * as made (1 % of the chamber, 5 % where equal strokes are assumed), a line's volume (10 %), a stated volume (1 %), a
 * stated stiffness (5 %), Lame's wall with its ends and weld (10 %), a hose (20 %).
 */
const relU = { chamber: 0.01, stages: 0.05, line: 0.1, volume: 0.01, stiffness: 0.05, wall: 0.1, hose: 0.2 } as const;
/** Free air is seldom known better than this, as a share of itself. */
export const airRelU = 0.3;
/** A barrel of unknown thickness gives up to about 15 % more than the oil alone: half-width as a rectangle. */
const unknownWall = 0.15 / Math.sqrt(3);
/** A line of unknown kind may be a hose as soft as this, Pa. */
const softHosePa = 1e9;

/**
 * Volumes and gives of a hold.
 * @param oilPa bulk modulus of the oil: the secant for a rise, the tangent at a level
 * @throws DwellmarkError (`input`) when there is no oil to shut in.
 */
export function shutInGive(hold: ShutIn, oilPa: number): ShutInGive {
  const chamberM3 = chamberVolumeM3(hold.cylinder, hold.port, hold.position);
  const geometricM3 = chamberM3 + hold.lineVolumeM3;
  const volumeM3 = hold.override?.volumeM3 ?? geometricM3;
  if (!(volumeM3 > 0))
    throw new DwellmarkError('input', `port ${hold.port} with the piston ${hold.position} shuts in no oil`, {
      advice: 'State the line volume or the trapped volume, or correct the position.',
    });
  const volumeUM3 =
    hold.override?.volumeM3 === undefined ? geometricUM3(hold, chamberM3) : relU.volume * hold.override.volumeM3;
  const common = { volumeM3, volumeUM3, chamberM3, freeAirM3: (hold.airFraction ?? 0) * volumeM3 };
  const statedPa = hold.override?.bulkModulusPa;
  if (statedPa !== undefined) {
    const oilM3PerPa = volumeM3 / statedPa;
    return { ...common, oilM3PerPa, wallM3PerPa: 0, hoseM3PerPa: 0, uM3PerPa: relU.stiffness * oilM3PerPa };
  }
  const oilM3PerPa = volumeM3 / oilPa;
  const wall = wallGive(hold, geometricM3 > 0 ? Math.min(1, volumeM3 / geometricM3) : 1);
  const wallM3PerPa = wall?.m3PerPa ?? 0;
  const hoseM3PerPa = hold.hoseStiffnessPa === undefined ? 0 : hold.lineVolumeM3 / hold.hoseStiffnessPa;
  const wallU = wall ? relU.wall * wallM3PerPa : unknownWall * (chamberM3 / oilPa);
  const hoseU =
    hold.hoseStiffnessPa === undefined ? hold.lineVolumeM3 / (softHosePa * Math.sqrt(3)) : relU.hose * hoseM3PerPa;
  const uM3PerPa = rootSumSquares(hold.fluid.bulkModulusRelU * oilM3PerPa, wallU, hoseU);
  return { ...common, oilM3PerPa, wallM3PerPa, hoseM3PerPa, uM3PerPa, ...(wall && { wallPa: wall.stiffnessPa }) };
}

function geometricUM3(hold: ShutIn, chamberM3: number): number {
  const sweptM3 = Math.max(
    chamberM3,
    chamberVolumeM3(hold.cylinder, hold.port, hold.port === 'A' ? 'extended' : 'retracted'),
  );
  const { kind, stageStrokesM } = hold.cylinder;
  const chamberRelU = kind === 'telescopic' && stageStrokesM === undefined ? relU.stages : relU.chamber;
  return rootSumSquares(chamberRelU * sweptM3, relU.line * hold.lineVolumeM3);
}

/** The barrel around the chamber grows as a whole, also where the rod takes up part of its inside. */
function wallGive(hold: ShutIn, scale: number): { m3PerPa: number; stiffnessPa: number } | undefined {
  const { cylinder, port, position } = hold;
  if (cylinder.barrelOutsideM === undefined) return undefined;
  const stiffnessPa = wallStiffnessPa({ insideM: cylinder.boreM, outsideM: cylinder.barrelOutsideM });
  const barrelM3 =
    cylinder.kind === 'telescopic'
      ? chamberVolumeM3(cylinder, port, position)
      : circleM2(cylinder.boreM) * barrelLengthM(cylinder, port, position);
  return { m3PerPa: (scale * barrelM3) / stiffnessPa, stiffnessPa };
}

function barrelLengthM(cylinder: Cylinder, port: PortName, position: PistonPosition): number {
  if (cylinder.kind === 'plunger') return cylinder.strokeM;
  if (position === 'mid-stroke restrained') return cylinder.strokeM / 2;
  return (position === 'extended') === (port === 'A') ? cylinder.strokeM : 0;
}

/** Oil that goes in between two pressures, m3 at the atmosphere, and what takes it up. */
export interface ExpectedStiffness {
  readonly oilM3: number;
  /** Standard uncertainty (k = 1). */
  readonly oilUM3: number;
  readonly split: {
    /** Compression of the oil itself, or of everything when the job states the stiffness. */
    readonly oilM3: number;
    readonly wallM3: number;
    readonly hoseM3: number;
    readonly airM3: number;
  };
}

/**
 * Oil needed to bring a hold from one gauge pressure to another: compression of the oil by its secant modulus, growth of
 * barrel and hose, and free air as far as the job admits any. The same oil comes back when the pressure is let off. Much less on the
 * pump means a shut valve or another volume; much more means air, a soft hose, a leak or a piston not at its end.
 * @example 100/56 x 500 mm on A, 1.5 GPa as stated, 0 to 250 bar: 65.4 mL; with a 120 mm barrel 71.0 mL; 1 % free air adds 39.1 mL
 */
export function expectedStiffness(
  hold: ShutIn,
  from: Pressure,
  to: Pressure,
  process: AirProcess = 'slow',
): ExpectedStiffness {
  const give = shutInGive(hold, secantBetweenPa(hold.fluid, from, to));
  const rise = to - from;
  const split = {
    oilM3: give.oilM3PerPa * rise,
    wallM3: give.wallM3PerPa * rise,
    hoseM3: give.hoseM3PerPa * rise,
    airM3: oilForAirM3(give.freeAirM3, from, to, process),
  };
  const oilM3 = split.oilM3 + split.wallM3 + split.hoseM3 + split.airM3;
  const volumePart = (give.volumeUM3 / give.volumeM3) * split.oilM3;
  return { oilM3, oilUM3: rootSumSquares(give.uM3PerPa * rise, volumePart, airRelU * split.airM3), split };
}

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
