import { DwellmarkError, type ErrorPlace, type Pressure, type Temperature } from '../units/index.js';
import { fluidTable } from './fluid-table.js';

/** A hydraulic fluid as data. Moduli in pascals, expansion in 1/K, density in kg/m3, heat in J/(kg K), viscosity in Pa s. */
export interface Fluid {
  readonly name: string;
  /** Isothermal secant bulk modulus between zero and 200 bar at 20 °C, without air. */
  readonly bulkModulusPa: number;
  /** Rise of the secant with pressure, Pa for each Pa; absent: the modulus is stated, and the same at every pressure. */
  readonly secantRise?: number;
  /** Relative standard uncertainty of the bulk modulus. */
  readonly bulkModulusRelU: number;
  readonly expansionPerK: number;
  readonly expansionRelU: number;
  readonly densityKgPerM3: number;
  readonly heatCapacityJPerKgK: number;
  /** Dynamic viscosity at `viscosityAtK`. */
  readonly viscosityPaS: number;
  readonly viscosityAtK: Temperature;
  /** Who says so. */
  readonly source: string;
}

type Stiff = Pick<Fluid, 'bulkModulusPa' | 'secantRise'>;

/** The moduli of the fluid table are secants of a hold between zero and this. */
const tabledAtPa = 200e5;

/**
 * Secant bulk modulus from zero to a pressure, Pa: pressure over the share of its first volume that the liquid loses
 * (ASTM D6793, 3.1.1). It rises in a straight line with pressure (Hayward 1967, Br. J. Appl. Phys. 18, 965).
 * @example ISO VG 46 up to 250 bar: 1.528 GPa
 */
export const secantModulusPa = ({ bulkModulusPa, secantRise }: Stiff, upTo: Pressure): number =>
  secantRise === undefined ? bulkModulusPa : bulkModulusPa + secantRise * (upTo - tabledAtPa);

/**
 * Tangent bulk modulus at a pressure, Pa: volume there times the rise of pressure over the loss of volume (ASTM D6793,
 * 3.1.2). From the secant S = S0 + m p it follows as S (S - p) / S0.
 * @example ISO VG 46 at 250 bar: 1.655 GPa; at 5 bar: 1.393 GPa
 */
export function tangentModulusPa(fluid: Stiff, at: Pressure): number {
  if (fluid.secantRise === undefined) return fluid.bulkModulusPa;
  const secantPa = secantModulusPa(fluid, at);
  return (secantPa * (secantPa - at)) / (secantPa - fluid.secantRise * at);
}

/**
 * Secant between two pressures, Pa: what is pumped in from the one to the other is the volume times the rise over this.
 * @example ISO VG 46 from 100 to 250 bar: 1.590 GPa
 */
export function secantBetweenPa(fluid: Stiff, from: Pressure, to: Pressure): number {
  const lost = (upTo: Pressure): number => upTo / secantModulusPa(fluid, upTo);
  return from === to ? tangentModulusPa(fluid, to) : (to - from) / (lost(to) - lost(from));
}

/**
 * Thermal expansion at a pressure, 1/K. Expansion and stiffness change against each other, so that the pressure for a
 * kelvin, their product, stays that of the fluid's own figures (from memory: it hardly changes for oils).
 * @example ISO VG 46, 7.0e-4 /K: 6.35e-4 /K at 250 bar
 */
export const expansionAtPerK = (fluid: Stiff & Pick<Fluid, 'expansionPerK'>, at: Pressure): number =>
  (fluid.expansionPerK * fluid.bulkModulusPa) / tangentModulusPa(fluid, at);

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
