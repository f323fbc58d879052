import { type Pressure, pressurePa } from '../../units/index.js';
import type { Cylinder, PortName } from '../cylinder.js';
import { pistonAreaM2 } from './areas.js';
import { telescopicStages } from './stages.js';

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
