import type { Cylinder, PistonPosition, PortName } from '../cylinder.js';
import { pistonAreaM2 } from './areas.js';
import { circleM2 } from './circle.js';
import { telescopicStages } from './stages.js';

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
