import { type Pressure, rootSumSquares } from '../../units/index.js';
import { secantBetweenPa } from '../fluids/bulk-modulus.js';
import { type AirProcess, oilForAirM3 } from './entrained-air.js';
import { airRelU, type ShutIn, shutInGive } from './shut-in.js';

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
