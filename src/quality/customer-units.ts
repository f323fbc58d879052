import type { TestHeader } from '../record/index.js';
import { type UnitSystem, type UnitSystemName, unitSystems } from '../units/index.js';

/** The units that a test's customer reads. */
export const unitsOf = (header: Pick<TestHeader, 'units'>): UnitSystemName =>
  Object.hasOwn(unitSystems, header.units) ? (header.units as UnitSystemName) : 'bar';

export const systemOf = (header: Pick<TestHeader, 'units'>): UnitSystem => unitSystems[unitsOf(header)];
