/** One wrong line: the text to find, once, in a file, and what stands there instead. */
export interface Mutation {
  readonly what: string;
  readonly file: string;
  readonly find: string;
  readonly put: string;
  /** Why no published figure can tell it, for one that survives. */
  readonly survives?: string;
}

const statistics = 'src/evaluation/statistics';
const fluids = 'src/hydraulics/fluid-table.ts';

/** Slips that would each make a verdict, a figure on paper or a record wrong. Every one must be told by tests/external. */
export const mutations: readonly Mutation[] = [
  {
    what: 'coverage 95 to 90 %',
    file: 'src/evaluation/uncertainty.ts',
    find: 'const coverage = 0.95;',
    put: 'const coverage = 0.9;',
  },
  {
    what: 'degrees of freedom always 1e9',
    file: 'src/evaluation/uncertainty.ts',
    find: 'share > 0 ? 1 / share : Number.POSITIVE_INFINITY',
    put: '1e9',
  },
  {
    what: 'rectangular a/sqrt 3 to a/2',
    file: 'src/evaluation/uncertainty.ts',
    find: 'halfWidth / Math.sqrt(3);',
    put: 'halfWidth / 2;',
  },
  {
    what: 'slope variance without correlation',
    file: `${statistics}/correlated-noise.ts`,
    find: 'slopeFactor: Math.max(1, factor),',
    put: 'slopeFactor: 1,',
  },
  {
    what: 'autocorrelation of the wrong lag',
    file: `${statistics}/correlated-noise.ts`,
    find: '(residuals[i - lag] ?? 0);',
    put: '(residuals[i] ?? 0);',
  },
  {
    what: 'residual degrees of freedom n - 1',
    file: 'src/evaluation/strokes/read-stroke.ts',
    find: 'Math.max(1, n - 2)',
    put: 'Math.max(1, n - 1)',
  },
  {
    what: 'settling exponent doubled',
    file: 'src/evaluation/shape/bend.ts',
    find: '(t) => exp(-t / tau)',
    put: '(t) => exp((-2 * t) / tau)',
  },
  {
    what: 'heat of compression halved',
    file: 'src/hydraulics/heat.ts',
    find: '(fluid.expansionPerK * temperature * rise) /',
    put: '(fluid.expansionPerK * temperature * rise) / 2 /',
  },
  {
    what: 'probe stability 0.01 to 1 K',
    file: 'src/evaluation/temperature.ts',
    find: 'const probeStabilityK = 0.01;',
    put: 'const probeStabilityK = 1;',
  },
  {
    what: 'decision guarded to simple',
    file: 'src/evaluation/decision.ts',
    find: "rule === 'guarded' ? expandedU : 0",
    put: '0',
  },
  {
    what: 'agreement of collected oil 2 to 20',
    file: 'src/evaluation/collected.ts',
    find: 'const agreement = 2;',
    put: 'const agreement = 20;',
  },
  {
    what: 'leak rate of half the volume',
    file: 'src/hydraulics/leak.ts',
    find: '(held.volumeM3 / held.bulkModulusPa) * ratePaPerS;',
    put: '(held.volumeM3 / 2 / held.bulkModulusPa) * ratePaPerS;',
  },
  {
    what: 'bulk modulus of mineral oil 1.5 to 1.8 GPa',
    file: fluids,
    find: 'bulkModulusPa: 1.5e9,',
    put: 'bulkModulusPa: 1.8e9,',
  },
  { what: 'expansion of mineral oil 7 to 8e-4', file: fluids, find: '7.0e-4,', put: '8.0e-4,' },
  {
    what: 'heat capacity of mineral oil',
    file: fluids,
    find: 'heatCapacityJPerKgK: 1900',
    put: 'heatCapacityJPerKgK: 2100',
  },
  { what: 'bulk modulus of HFC', file: fluids, find: 'bulkModulusPa: 3.4e9,', put: 'bulkModulusPa: 2.4e9,' },
  { what: 'bulk modulus of water', file: fluids, find: 'bulkModulusPa: 2.245e9,', put: 'bulkModulusPa: 2.1e9,' },
  { what: "Hayward's rise 5.6 to 3.6", file: fluids, find: 'const oilRise = 5.6;', put: 'const oilRise = 3.6;' },
  {
    what: 'tangent modulus that is the secant',
    file: 'src/hydraulics/fluids.ts',
    find: 'return (secantPa * (secantPa - at)) / (secantPa - fluid.secantRise * at);',
    put: 'return secantPa;',
  },
  {
    what: 'Lamé without Poisson',
    file: 'src/hydraulics/geometry.ts',
    find: '(outside2 - inside2) + poisson)',
    put: '(outside2 - inside2))',
  },
  {
    what: 'drops 20 to 16 a millilitre',
    file: 'src/hydraulics/leak.ts',
    find: 'usualDropsPerMl = 20;',
    put: 'usualDropsPerMl = 16;',
  },
  {
    what: 'silence 2 to 20 s',
    file: 'src/gauge/supervision/limits.ts',
    find: 'Math.max(2, 5 /',
    put: 'Math.max(20, 5 /',
  },
  {
    what: 'no value from 9.9e37 on only to 9.9e38',
    file: 'src/gauge/wire/no-value.ts',
    find: 'const scpiNoValue = 9.89e37;',
    put: 'const scpiNoValue = 9.89e38;',
  },
  {
    what: 'CRC-16 with another polynomial',
    file: 'src/gauge/wire/checksum.ts',
    find: '(crc >> 1) ^ 0xa001',
    put: '(crc >> 1) ^ 0x8408',
  },
  {
    what: 'dwell that may be half a second short of its time',
    file: 'src/holdtest/phases/dwell.ts',
    find: 'if (turn.timeUs - phase.startUs < stage.dwellS * 1e6) return;',
    put: 'if (turn.timeUs - phase.startUs < stage.dwellS * 0.9e6) return;',
  },
];
