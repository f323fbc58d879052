import type { GaugeEntry } from '../../bench/index.js';
import type { LineSettings } from '../../gauge/index.js';

/** The keys that say how a line is read: what was proposed, or the pattern that was given. */
export const shapeKeys = (
  { pattern, oilUnit, decimal, checksum }: LineSettings,
  givenPattern: string | undefined,
  unit: string,
): GaugeEntry['line'] => ({
  pattern: givenPattern ?? pattern,
  unit,
  ...(oilUnit === undefined ? {} : { oil_unit: oilUnit }),
  ...(decimal === undefined ? {} : { decimal }),
  ...(checksum === undefined ? {} : { checksum }),
});
