import type { Cylinder, PortName } from '../cylinder.js';
import { circleM2 } from './circle.js';
import { telescopicStages } from './stages.js';

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
