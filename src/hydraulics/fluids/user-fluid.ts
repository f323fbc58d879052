import { DwellmarkError, type ErrorPlace } from '../../units/index.js';
import type { Fluid } from '../fluid.js';
import { findFluid } from './find-fluid.js';

/** What a job states of a fluid of its own. */
export type UserFluid = Partial<Fluid>;

const figures = [
  'bulkModulusPa',
  'expansionPerK',
  'densityKgPerM3',
  'heatCapacityJPerKgK',
  'viscosityPaS',
  'viscosityAtK',
] as const;

/**
 * A fluid of the job's own; whatever it does not state is taken from `base`, ISO VG 46 when absent. A stated bulk
 * modulus is taken as it is at every pressure; it or a stated expansion counts with a relative standard uncertainty of
 * 5 % unless that is stated too.
 * @throws DwellmarkError (`input`) when a figure is not more than zero.
 * @example userFluid({ bulkModulusPa: 1.4e9 }).expansionPerK // 7.0e-4
 */
export function userFluid(stated: UserFluid, place: ErrorPlace = {}, base: Fluid = usualOil()): Fluid {
  for (const figure of figures) {
    const value = stated[figure];
    if (value !== undefined && !(value > 0 && Number.isFinite(value)))
      throw new DwellmarkError('input', `the fluid's ${inWords[figure]} must be more than zero`, { place });
  }
  const taken = figures.filter((figure) => stated[figure] === undefined).map((figure) => inWords[figure]);
  const { secantRise: rise, ...constant } = base;
  const ground = stated.bulkModulusPa === undefined && rise !== undefined ? base : constant;
  return {
    ...ground,
    name: "the job's fluid",
    bulkModulusRelU: stated.bulkModulusPa === undefined ? base.bulkModulusRelU : 0.05,
    expansionRelU: stated.expansionPerK === undefined ? base.expansionRelU : 0.05,
    source: taken.length === 0 ? 'As stated in the job.' : `As stated in the job; ${list(taken)} of ${base.name}.`,
    ...stated,
  };
}

function usualOil(): Fluid {
  const oil = findFluid('ISO VG 46');
  if (!oil) throw new Error('the fluid table has lost ISO VG 46');
  return oil;
}

const inWords: Readonly<Record<(typeof figures)[number], string>> = {
  bulkModulusPa: 'bulk modulus',
  expansionPerK: 'expansion',
  densityKgPerM3: 'density',
  heatCapacityJPerKgK: 'heat capacity',
  viscosityPaS: 'viscosity',
  viscosityAtK: 'viscosity temperature',
};

const list = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
