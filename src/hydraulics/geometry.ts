import { type Pressure, pressurePa, square } from '../units/index.js';
import type { Cylinder, PistonPosition, PortName } from './cylinder.js';

/**
 * Area of a circle by its diameter, m2.
 * @example circleM2(0.1) // 0.00785398
 */
export const circleM2 = (diameterM: number): number => (Math.PI / 4) * square(diameterM);

/**
 * One stage of a telescopic cylinder, in the order in which the stages move out at port A (largest first).
 * Areas in m2, stroke in m.
 */
export interface TelescopicStage {
  /** The diameter that this stage seals on, m. */
  readonly boreM: number;
  /** Area on which oil at port A pushes while this stage moves out. */
  readonly pushM2: number;
  /** Ring between this stage and the next on which oil at port B pulls; 0 when there is no retract chamber. */
  readonly pullM2: number;
  /** Its share of the stroke. */
  readonly strokeM: number;
}

/**
 * The stages of a telescopic cylinder; one stage, the bore itself, when no stage bores are given. Strokes that are not
 * given are taken as equal, and sleeve walls as thin. `rodM` > 0 says that the cylinder is double-acting and is the diameter
 * of the innermost rod; with 0 nothing pulls it back but the load.
 * @example stages of 120, 100 and 80 mm: push areas 113.1, 78.5 and 50.3 cm2
 */
export function telescopicStages(cylinder: Cylinder): readonly TelescopicStage[] {
  const bores = stageBores(cylinder);
  return bores.map((boreM, index) => {
    const insideM = bores[index + 1] ?? cylinder.rodM;
    return {
      boreM,
      pushM2: circleM2(boreM),
      pullM2: cylinder.rodM > 0 ? circleM2(boreM) - circleM2(insideM) : 0,
      strokeM: cylinder.stageStrokesM?.[index] ?? cylinder.strokeM / bores.length,
    };
  });
}

const stageBores = (cylinder: Cylinder): readonly number[] =>
  cylinder.stageBoresM && cylinder.stageBoresM.length > 0 ? cylinder.stageBoresM : [cylinder.boreM];

/**
 * Area on which oil at a port pushes the piston, m2; 0 at a port that does not exist or is only vented.
 *
 * Cap end: the bore; for a double rod the bore less the rod at both ends; for a plunger the diameter it seals on (the
 * rod when one is given, else the bore); for a telescopic cylinder its first, largest stage.
 * @example pistonAreaM2(of 100/56 mm, 'A') // 78.540 cm2; 'B' // 53.910 cm2
 */
export function pistonAreaM2(cylinder: Cylinder, port: PortName): number {
  const boreM2 = circleM2(cylinder.boreM);
  const ringM2 = boreM2 - circleM2(cylinder.rodM);
  switch (cylinder.kind) {
    case 'double-acting':
      return port === 'A' ? boreM2 : ringM2;
    case 'double-rod':
      return ringM2;
    case 'single-acting':
      return port === 'A' ? boreM2 : 0;
    case 'single-acting pull':
      return port === 'B' ? ringM2 : 0;
    case 'vessel':
      return 0;
    case 'plunger':
      return port === 'A' ? circleM2(cylinder.rodM > 0 ? cylinder.rodM : cylinder.boreM) : 0;
    case 'telescopic': {
      const first = telescopicStages(cylinder)[0];
      return (port === 'A' ? first?.pushM2 : first?.pullM2) ?? 0;
    }
  }
}

/**
 * Force of a pressure at one port, N, with the other port at atmosphere and without friction. Port A pushes the rod
 * out, port B pulls it in; the figure is positive for both. It is also what a restrained rod must bear.
 * @example pistonForceN(of 100/56 mm, 'A', 160 bar) // 125.66 kN; 'B' // 86.26 kN
 */
export const pistonForceN = (cylinder: Cylinder, port: PortName, pressure: Pressure): number =>
  pressure * pistonAreaM2(cylinder, port);

/**
 * Pressure that a blocked opposite port sees when `port` is pressurised and nothing but the oil holds the piston:
 * the forces on the piston balance, so p2 = p1 x area1 / area2. Larger than p1 from A to B, smaller from B to A, equal
 * for a double rod. Without friction, and with the rod unloaded: the worst case.
 *
 * A double-acting telescopic cylinder intensifies inside, between its stages: the figure is that of the worst stage.
 * `undefined` when there is no chamber at the other side (plunger, single-acting, telescopic without retract port).
 * @example intensifiedPressure(of 100/56 mm, 'A', 160 bar) // 233.1 bar
 */
export function intensifiedPressure(cylinder: Cylinder, port: PortName, pressure: Pressure): Pressure | undefined {
  const ratio = intensificationRatio(cylinder, port);
  return ratio === undefined ? undefined : pressurePa(pressure * ratio);
}

/** How many times the pressure at `port` the blocked opposite port sees; see `intensifiedPressure`. */
export function intensificationRatio(cylinder: Cylinder, port: PortName): number | undefined {
  if (cylinder.kind === 'telescopic') return telescopicRatio(cylinder, port);
  const ownM2 = pistonAreaM2(cylinder, port);
  const oppositeM2 = pistonAreaM2(cylinder, port === 'A' ? 'B' : 'A');
  return ownM2 > 0 && oppositeM2 > 0 ? ownM2 / oppositeM2 : undefined;
}

function telescopicRatio(cylinder: Cylinder, port: PortName): number | undefined {
  const stages = telescopicStages(cylinder);
  if (stages.some((stage) => stage.pullM2 <= 0)) return undefined;
  return Math.max(...stages.map((stage) => (port === 'A' ? stage.pushM2 / stage.pullM2 : stage.pullM2 / stage.pushM2)));
}

/** Share of the stroke that is out. Mid-stroke is taken as half. */
const shareOut: Readonly<Record<PistonPosition, number>> = {
  extended: 1,
  retracted: 0,
  'mid-stroke restrained': 0.5,
  'no piston': 1,
};

/**
 * Oil in the chamber of a port by piston position, m3, without lines and without the dead volume of ports and
 * cushions. 0 when the piston stands at that port's own end.
 * @example chamberVolumeM3(of 100/56 x 500 mm, 'A', 'extended') // 3926.99 mL; 'B', 'retracted' // 2695.49 mL
 */
export function chamberVolumeM3(cylinder: Cylinder, port: PortName, position: PistonPosition): number {
  if (cylinder.kind === 'vessel') return cylinder.volumeM3 ?? 0;
  if (cylinder.kind === 'telescopic') return telescopicVolumeM3(cylinder, port, shareOut[position] * cylinder.strokeM);
  const share = port === 'A' ? shareOut[position] : 1 - shareOut[position];
  if (cylinder.kind === 'plunger') return port === 'A' ? plungerVolumeM3(cylinder, share) : 0;
  return pistonAreaM2(cylinder, port) * cylinder.strokeM * share;
}

/** The stages move out in order, largest first; each adds its area times what of its stroke is out, or its ring times the rest. */
function telescopicVolumeM3(cylinder: Cylinder, port: PortName, outM: number): number {
  let leftM = outM;
  return telescopicStages(cylinder).reduce((sum, { pushM2, pullM2, strokeM }) => {
    const stageOutM = Math.min(strokeM, leftM);
    leftM -= stageOutM;
    return sum + (port === 'A' ? pushM2 * stageOutM : pullM2 * (strokeM - stageOutM));
  }, 0);
}

/** Oil stands around a plunger that is thinner than its barrel, and fills the whole barrel once it is out. */
function plungerVolumeM3(cylinder: Cylinder, share: number): number {
  const aroundM2 = cylinder.rodM > 0 ? circleM2(cylinder.boreM) - circleM2(cylinder.rodM) : 0;
  return (aroundM2 + share * pistonAreaM2(cylinder, 'A')) * cylinder.strokeM;
}

/** A thick round wall. Steel unless said otherwise. */
export interface Wall {
  readonly insideM: number;
  readonly outsideM: number;
  /** Young's modulus, Pa; 207 GPa for steel when absent. */
  readonly youngPa?: number;
  /** Poisson's ratio; 0.3 for steel when absent. */
  readonly poisson?: number;
}

const steel = { youngPa: 207e9, poisson: 0.3 } as const;

/** Linear expansion of carbon steel, 1/K (11 to 12.5e-6: common practice, no source). */
export const steelExpansionPerK = 11.7e-6;

/**
 * Stiffness of the barrel as a container, Pa: pressure over the share by which its volume grows (Lame, open ends:
 * 1/K = (2/E) x [(Do2 + Di2)/(Do2 - Di2) + nu]; the ends carry their load through the piston or the tie rods).
 * @example wallStiffnessPa({ insideM: 0.1, outsideM: 0.12 }) // 17.71 GPa
 */
export function wallStiffnessPa(wall: Wall): number {
  const [young, poisson] = [wall.youngPa ?? steel.youngPa, wall.poisson ?? steel.poisson];
  const [inside2, outside2] = [square(wall.insideM), square(wall.outsideM)];
  return young / (2 * ((outside2 + inside2) / (outside2 - inside2) + poisson));
}
