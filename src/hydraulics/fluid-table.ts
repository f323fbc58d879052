import { temperatureK } from '../units/index.js';
import type { Fluid } from './fluids.js';

const at40C = temperatureK(313.15);

const web = 'The Engineering ToolBox, "Bulk Modulus and Fluid Elasticities"';
const mineralSource = `Bulk modulus 1.5 GPa up to 200 bar: as ${web} has SAE 30 (it has 1.8 GPa for ISO 32). Rise with pressure: Hayward 1970, from memory. Expansion, density, heat capacity: common practice, no source. Viscosity: ISO 3448, at 40 °C.`;

/** Rise of the secant of petroleum oils with pressure, Pa for each Pa (Hayward 1970, from memory). */
const oilRise = 5.6;

/** A mineral oil of an ISO 3448 viscosity grade; the grade is its kinematic viscosity at 40 °C in mm2/s. */
function mineral(grade: number, densityKgPerM3: number): Fluid {
  return {
    name: `ISO VG ${grade}`,
    bulkModulusPa: 1.5e9,
    secantRise: oilRise,
    bulkModulusRelU: 0.1,
    expansionPerK: 7.0e-4,
    expansionRelU: 0.05,
    densityKgPerM3,
    heatCapacityJPerKgK: 1900,
    viscosityPaS: grade * 1e-6 * densityKgPerM3,
    viscosityAtK: at40C,
    source: mineralSource,
  };
}

/**
 * The fluids known by name. The uncertainties are standard ones (k = 1): published moduli of mineral oils lie
 * between 1.5 and 1.8 GPa, and that range is two of them, for every grade alike.
 */
export const fluidTable: readonly Fluid[] = [
  mineral(22, 865),
  mineral(32, 870),
  mineral(46, 875),
  mineral(68, 880),
  {
    name: 'HFC',
    bulkModulusPa: 3.4e9,
    secantRise: 3.3,
    bulkModulusRelU: 0.08,
    expansionPerK: 6.3e-4,
    expansionRelU: 0.15,
    densityKgPerM3: 1080,
    heatCapacityJPerKgK: 3200,
    viscosityPaS: 46e-6 * 1080,
    viscosityAtK: at40C,
    source: `Water-glycol. Bulk modulus: ${web}. Its rise with pressure is taken as that of water. Expansion, density, heat capacity: from memory. Viscosity: ISO 3448 grade 46.`,
  },
  {
    name: 'HFD',
    bulkModulusPa: 3.0e9,
    secantRise: oilRise,
    bulkModulusRelU: 0.1,
    expansionPerK: 6.8e-4,
    expansionRelU: 0.15,
    densityKgPerM3: 1140,
    heatCapacityJPerKgK: 1600,
    viscosityPaS: 46e-6 * 1140,
    viscosityAtK: at40C,
    source: `Phosphate ester. Bulk modulus: ${web}. Its rise with pressure is taken as that of mineral oil. Expansion, density, heat capacity: from memory. Viscosity: ISO 3448 grade 46.`,
  },
  {
    name: 'water',
    bulkModulusPa: 2.245e9,
    secantRise: 3.3,
    bulkModulusRelU: 0.03,
    expansionPerK: 2.07e-4,
    expansionRelU: 0.3,
    densityKgPerM3: 998.2,
    heatCapacityJPerKgK: 4184,
    viscosityPaS: 1.002e-3,
    viscosityAtK: temperatureK(293.15),
    source:
      'IAPWS R6-95 (2018) and R12-08 at 20 °C. Expansion changes with temperature (0.9e-4 at 10 °C, 3.0e-4 at 30 °C), hence its wide uncertainty.',
  },
];
