import type { Fluid } from '../fluid.js';
import { fluidTable } from './fluid-table.js';

/** Names of the fluids that `findFluid` knows, as they are printed. */
export const fluidNames: readonly string[] = fluidTable.map((fluid) => fluid.name);

const otherNames: Readonly<Record<string, string>> = {
  vg22: 'isovg22',
  vg32: 'isovg32',
  vg46: 'isovg46',
  vg68: 'isovg68',
  iso22: 'isovg22',
  iso32: 'isovg32',
  iso46: 'isovg46',
  iso68: 'isovg68',
  waterglycol: 'hfc',
  phosphateester: 'hfd',
  hfdr: 'hfd',
  phosphateesterhfdr: 'hfd',
  hfc46: 'hfc',
  hfd46: 'hfd',
  hfdr46: 'hfd',
};

/** Mineral oils by class and viscosity grade: HH, HL, HM, HR, HV, HG of ISO 6743-4, HLP and HVLP of DIN 51524. */
const mineralClass = /^(?:hh|hl|hm|hr|hv|hg|hlp|hvlp)(\d+)$/;

/**
 * The fluid of that name or class, or undefined. Capitals, spaces and hyphens don't matter.
 * @example findFluid('HLP 46')?.name // 'ISO VG 46'
 * @example findFluid('iso-vg 46')?.bulkModulusPa // 1.5e9
 */
export function findFluid(name: string): Fluid | undefined {
  const sought = squeezed(name).replace(mineralClass, 'isovg$1');
  const printed = Object.hasOwn(otherNames, sought) ? otherNames[sought] : sought;
  return fluidTable.find((fluid) => squeezed(fluid.name) === printed);
}

const squeezed = (name: string): string => name.toLowerCase().replace(/[\s_-]+/g, '');
