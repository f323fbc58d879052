import { DwellmarkError, rootSumSquares } from '../../units/index.js';
import type { Cylinder, PistonPosition, PortName } from '../cylinder.js';
import type { Fluid } from '../fluid.js';
import { wallStiffnessPa } from '../geometry/barrel-wall.js';
import { chamberVolumeM3 } from '../geometry/chamber-volume.js';
import { circleM2 } from '../geometry/circle.js';

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
