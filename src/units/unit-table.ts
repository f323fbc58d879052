import { cube, square } from './arithmetic.js';
/** What a number measures. Pressure and pressure difference, temperature and temperature difference, are apart. */
export type Dimension =
  | 'pressure'
  | 'pressure-difference'
  | 'pressure-rate'
  | 'pressure-per-kelvin'
  | 'modulus'
  | 'temperature'
  | 'temperature-difference'
  | 'temperature-rate'
  | 'length'
  | 'area'
  | 'volume'
  | 'flow'
  | 'time'
  | 'force'
  | 'energy'
  | 'mass'
  | 'density'
  | 'expansion'
  | 'heat-capacity'
  | 'dynamic-viscosity'
  | 'ratio';

/** A unit: SI value = number x factor + offset. Only a temperature has an offset. */
export interface Unit {
  readonly factor: number;
  readonly offset?: number;
}

/** Pascals a unit of pressure; psi and kgf/cm2 from the definitions of the pound, the inch and standard gravity. */
const pascals = {
  Pa: 1,
  kPa: 1e3,
  MPa: 1e6,
  GPa: 1e9,
  mbar: 100,
  bar: 1e5,
  'N/mm2': 1e6,
  psi: (0.45359237 * 9.80665) / square(0.0254),
  ksi: (453.59237 * 9.80665) / square(0.0254),
  'kgf/cm2': 9.80665e4,
  // Columns of liquid as NIST SP 811 (2008), B.8, has them: mercury and water of conventional density.
  mmHg: 133.3224,
  inHg: 3386.389,
  mH2O: 9806.65,
  inH2O: 249.0889,
} as const;
const seconds = { us: 1e-6, ms: 1e-3, s: 1, min: 60, h: 3600, d: 86400 } as const;
const cubicMetres = {
  mL: 1e-6,
  cm3: 1e-6,
  cc: 1e-6,
  L: 1e-3,
  l: 1e-3,
  ml: 1e-6,
  m3: 1,
  in3: cube(0.0254),
  gal: 231 * cube(0.0254),
} as const;

type Factors = Readonly<Record<string, number>>;

function plain(factors: Factors): Record<string, Unit> {
  return Object.fromEntries(Object.entries(factors).map(([name, factor]) => [name, { factor }]));
}

/** Every `over/under` unit, e.g. bar/min. */
function quotient(over: Factors, under: Factors): Record<string, Unit> {
  const units: Record<string, Unit> = {};
  for (const [top, topFactor] of Object.entries(over))
    for (const [bottom, bottomFactor] of Object.entries(under))
      units[`${top}/${bottom}`] = { factor: topFactor / bottomFactor };
  return units;
}

const kelvinSteps = { K: 1, C: 1, '°C': 1, degC: 1, F: 5 / 9, '°F': 5 / 9, degF: 5 / 9 } as const;
const celsius: Unit = { factor: 1, offset: 273.15 };
const fahrenheit: Unit = { factor: 5 / 9, offset: 273.15 - (32 * 5) / 9 };

/** The units a person may write, by dimension. Names are those of NIST SP 811 with `2` and `3` for the exponents. */
export const unitTable: Readonly<Record<Dimension, Readonly<Record<string, Unit>>>> = {
  // Every pressure here is a gauge pressure, so psig and barg may be written; psia and bara are refused.
  pressure: plain({ ...pascals, barg: pascals.bar, psig: pascals.psi }),
  'pressure-difference': plain(pascals),
  'pressure-rate': quotient(pascals, seconds),
  'pressure-per-kelvin': quotient(pascals, kelvinSteps),
  modulus: plain(pascals),
  temperature: {
    K: { factor: 1 },
    C: celsius,
    '°C': celsius,
    degC: celsius,
    F: fahrenheit,
    '°F': fahrenheit,
    degF: fahrenheit,
  },
  'temperature-difference': plain(kelvinSteps),
  'temperature-rate': quotient(kelvinSteps, seconds),
  length: plain({ um: 1e-6, µm: 1e-6, mm: 1e-3, cm: 1e-2, m: 1, in: 0.0254, ft: 0.3048 }),
  area: plain({ mm2: 1e-6, cm2: 1e-4, m2: 1, in2: square(0.0254) }),
  volume: plain(cubicMetres),
  flow: quotient(cubicMetres, seconds),
  time: plain(seconds),
  force: plain({ N: 1, kN: 1e3, lbf: 0.45359237 * 9.80665, kgf: 9.80665 }),
  energy: plain({ J: 1, kJ: 1e3 }),
  mass: plain({ kg: 1, g: 1e-3, lb: 0.45359237 }),
  density: plain({ 'kg/m3': 1, 'g/cm3': 1e3, 'lb/in3': 0.45359237 / cube(0.0254) }),
  expansion: plain({ '/K': 1, '1/K': 1, '/C': 1, '/°C': 1, '/degC': 1, '/F': 9 / 5, '/°F': 9 / 5, '/degF': 9 / 5 }),
  'heat-capacity': plain({ 'J/(kg K)': 1, 'kJ/(kg K)': 1e3, 'J/kgK': 1 }),
  'dynamic-viscosity': plain({ 'Pa s': 1, 'mPa s': 1e-3, cP: 1e-3 }),
  ratio: plain({ '%': 0.01, ppm: 1e-6, '': 1 }),
};

/** Units to name when a person wrote none or a wrong one; the first makes the example. */
export const usualUnits: Readonly<Record<Dimension, readonly string[]>> = {
  pressure: ['bar', 'psi', 'MPa', 'kPa', 'kgf/cm2'],
  'pressure-difference': ['bar', 'psi', 'MPa', 'kPa', 'kgf/cm2'],
  'pressure-rate': ['bar/min', 'psi/min', 'bar/s', 'psi/s', 'MPa/min'],
  'pressure-per-kelvin': ['bar/K', 'psi/F'],
  modulus: ['GPa', 'MPa', 'bar', 'psi', 'ksi'],
  temperature: ['°C', '°F', 'K'],
  'temperature-difference': ['K', '°C', '°F'],
  'temperature-rate': ['K/min', 'K/h', '°F/h'],
  length: ['mm', 'cm', 'm', 'in', 'ft'],
  area: ['cm2', 'mm2', 'm2', 'in2'],
  volume: ['L', 'mL', 'cm3', 'm3', 'in3', 'gal'],
  flow: ['mL/min', 'L/min', 'mL/h', 'in3/min', 'gal/min'],
  time: ['s', 'min', 'h'],
  force: ['kN', 'N', 'lbf'],
  energy: ['J', 'kJ'],
  mass: ['kg', 'g', 'lb'],
  density: ['kg/m3', 'g/cm3'],
  expansion: ['/K', '/°C', '/°F'],
  'heat-capacity': ['J/(kg K)', 'kJ/(kg K)'],
  'dynamic-viscosity': ['mPa s', 'Pa s', 'cP'],
  ratio: ['%', 'ppm'],
};
