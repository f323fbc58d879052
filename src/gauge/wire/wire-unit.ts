import { findUnit } from '../../units/index.js';

/** How gauges spell their units, in lower case without blanks. Absolute units are apart: they are no gauge pressure. */
const pressureSpellings: Readonly<Record<string, string>> = {
  pa: 'Pa',
  kpa: 'kPa',
  mpa: 'MPa',
  bar: 'bar',
  barg: 'bar',
  'bar(g)': 'bar',
  bars: 'bar',
  mbar: 'mbar',
  mbarg: 'mbar',
  psi: 'psi',
  psig: 'psi',
  'psi(g)': 'psi',
  'lb/in2': 'psi',
  'lbf/in2': 'psi',
  ksi: 'ksi',
  'kgf/cm2': 'kgf/cm2',
  'kg/cm2': 'kgf/cm2',
  kgfcm2: 'kgf/cm2',
  kgcm2: 'kgf/cm2',
  'n/mm2': 'N/mm2',
  mmhg: 'mmHg',
  torr: 'mmHg',
  inhg: 'inHg',
  mh2o: 'mH2O',
  mwc: 'mH2O',
  mws: 'mH2O',
  inh2o: 'inH2O',
  inwc: 'inH2O',
};

const temperatureSpellings: Readonly<Record<string, string>> = {
  c: 'C',
  '°c': 'C',
  degc: 'C',
  'deg.c': 'C',
  f: 'F',
  '°f': 'F',
  degf: 'F',
  'deg.f': 'F',
  k: 'K',
};

/** The units that a person is told of. */
export const knownUnits = {
  pressure: 'bar, Pa, kPa, MPa, mbar, psi, kgf/cm2, N/mm2, mH2O, inH2O, mmHg, inHg',
  temperature: 'C, F, K',
} as const;

const bare = (text: string): string =>
  text.trim().toLowerCase().replaceAll(' ', '').replaceAll('²', '2').replaceAll('º', '°').replaceAll('^2', '2');

/** Readers of units remember the spellings they have met: every line carries the same one. */
function remembering(read: (text: string) => string | undefined): (text: string) => string | undefined {
  const met = new Map<string, string | undefined>();
  return (text) => {
    if (met.has(text)) return met.get(text);
    const unit = read(text);
    // Noise must not fill the memory.
    if (met.size < 100) met.set(text, unit);
    return unit;
  };
}

/**
 * The pressure unit a gauge means, by our name for it; undefined when it is none we know, or an absolute one.
 * @example readPressureUnit('KG/CM2') // 'kgf/cm2'
 * @example readPressureUnit('psia') // undefined
 */
export const readPressureUnit = remembering((text) => {
  const name = pressureSpellings[bare(text)];
  return name !== undefined && findUnit('pressure', name) ? name : undefined;
});

/** The temperature unit a gauge means: `C`, `F` or `K`. */
export const readTemperatureUnit = remembering((text) => temperatureSpellings[bare(text)]);

/** Whether a word is the unit of an absolute pressure. @example isAbsolute('psia') // true */
export const isAbsolute = (text: string): boolean =>
  /^(?:psi|[mk]?bar|[kM]?Pa)[ ._-]?a(?:bs)?$|\(a(?:bs)?\)$/i.test(text);

/** What may stand where a unit is expected, as the source of a regular expression: letters, digits, `/`, `²`, `°`. */
export const unitSource = String.raw`[°º]?[A-Za-z][A-Za-z.]*(?:\([gGaA]\))?(?:\/[A-Za-z]+(?:[²2]|\^2)?)?|[A-Za-z]+2[A-Za-z]*`;
