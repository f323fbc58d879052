import { temperatureK } from '../../units/index.js';
import type { Fluid } from '../fluid.js';

const at40C = temperatureK(313.15);

const modulusSource =
  'Bulk modulus 1.5 GPa for a working oil; engineering handbooks print 1.5 GPa (SAE 30) to 1.8 GPa (ISO 32) and about 0.4 % per 1000 psi.';
const mineralSource = `${modulusSource} Expansion 7.0e-4 per K, density and heat: usual handbook figures. Viscosity: ISO 3448 grade at 40 °C.`;

/** A mineral oil of an ISO 3448 viscosity grade; the grade is its kinematic viscosity at 40 °C in mm2/s. */
function mineral(grade: number, densityKgPerM3: number, bulkModulusRelU: number): Fluid {
  return {
    name: `ISO VG ${grade}`,
    bulkModulusPa: 1.5e9,
    bulkModulusRelU,
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
 * The fluids known by name. The uncertainties are standard ones (k = 1): tables of different makers differ by 10 to
 * 20 % in the bulk modulus, because it is quoted at different pressures and temperatures and as secant or tangent.
 */
export const fluidTable: readonly Fluid[] = [
  mineral(22, 865, 0.08),
  mineral(32, 870, 0.1),
  mineral(46, 875, 0.08),
  mineral(68, 880, 0.08),
  {
    name: 'HFC',
    bulkModulusPa: 3.4e9,
    bulkModulusRelU: 0.08,
    expansionPerK: 6.3e-4,
    expansionRelU: 0.15,
    densityKgPerM3: 1080,
    heatCapacityJPerKgK: 3200,
    viscosityPaS: 46e-6 * 1080,
    viscosityAtK: at40C,
    source:
      'Water-glycol: bulk modulus 3.4 GPa from engineering handbook tables; expansion, density and heat from memory.',
  },
  {
    name: 'HFD',
    bulkModulusPa: 3.0e9,
    bulkModulusRelU: 0.1,
    expansionPerK: 6.8e-4,
    expansionRelU: 0.15,
    densityKgPerM3: 1140,
    heatCapacityJPerKgK: 1600,
    viscosityPaS: 46e-6 * 1140,
    viscosityAtK: at40C,
    source:
      'Phosphate ester: bulk modulus 3.0 GPa from engineering handbook tables; expansion, density and heat from memory.',
  },
  {
    name: 'water',
    bulkModulusPa: 2.15e9,
    bulkModulusRelU: 0.05,
    expansionPerK: 2.07e-4,
    expansionRelU: 0.3,
    densityKgPerM3: 998.2,
    heatCapacityJPerKgK: 4182,
    viscosityPaS: 1.002e-3,
    viscosityAtK: temperatureK(293.15),
    source:
      'Bulk modulus 2.15 GPa from engineering handbook tables; the rest at 20 °C. Expansion changes fast with temperature (0.9e-4 at 10 °C, 3.0e-4 at 30 °C), hence its wide uncertainty.',
  },
];
