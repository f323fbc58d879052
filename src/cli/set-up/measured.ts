import { knownUnits, readPressureUnit, readTemperatureUnit } from '../../gauge/index.js';
import { parsePressureRange, parseTemperatureRange } from '../../procedure/index.js';
import { DwellmarkError } from '../../units/index.js';

/** A pressure in its unit, or the temperature of an oil probe in its own. */
export interface Measured {
  readonly measures: 'pressure' | 'oil';
  readonly unit: string;
}

/** What a unit measures. @throws DwellmarkError (`input`) when no gauge and no oil probe is read in it. */
export function demandUnit(text: string): Measured {
  const [pressure, oil] = [readPressureUnit(text), readTemperatureUnit(text)];
  if (pressure !== undefined) return { measures: 'pressure', unit: pressure };
  if (oil !== undefined) return { measures: 'oil', unit: oil };
  throw new DwellmarkError('input', `"${text}" is not a unit a gauge is read in`, {
    advice: `Known: ${knownUnits.pressure}; of an oil probe ${knownUnits.temperature}.`,
  });
}

/** What a range measures. @throws DwellmarkError (`input`) when it is no range of pressures or temperatures. */
export function measuredIn(range: string): Measured {
  try {
    return demandUnit(parseTemperatureRange(range).unit);
  } catch {
    return { measures: 'pressure', unit: parsePressureRange(range).unit };
  }
}

/**
 * What a unit and a range that were said beforehand measure; null when neither was.
 * @throws DwellmarkError (`input`) when one of them can't be, or one is a pressure's and the other a temperature's.
 */
export function measuredAsSaid({ unit, range }: { readonly unit?: string; readonly range?: string }): Measured | null {
  const byUnit = unit === undefined ? null : demandUnit(unit);
  const byRange = range === undefined ? null : measuredIn(range);
  if (byUnit && byRange && byUnit.measures !== byRange.measures)
    throw new DwellmarkError('input', `the range "${range}" and the unit "${unit}" do not belong together`, {
      advice: 'A gauge has both of a pressure, an oil probe both of a temperature.',
    });
  return byUnit ?? byRange;
}
