import type { Chance } from './chance.js';
import type { Gauge } from './hold-spec.js';

/** The ten colours of noise that a verdict must hold under, each at a size that a gauge may have. */
export const colours = [
  'white',
  'ar1 0.5',
  'ar1 0.9',
  'ar1 0.99',
  'pink',
  'walk',
  'compressor',
  'mean filter',
  'first-order filter',
  'slow updates',
] as const;
export type Colour = (typeof colours)[number];

export function gaugeOfColour(c: Chance, colour: Colour): Partial<Gauge> {
  const sdPa = c.octaves(0.02e5, 0.1e5);
  const ar1 = (coefficient: number): Partial<Gauge> => ({ noise: { kind: 'ar1', sdPa, coefficient } });
  switch (colour) {
    case 'white':
      return { noise: { kind: 'white', sdPa } };
    case 'ar1 0.5':
      return ar1(0.5);
    case 'ar1 0.9':
      return ar1(0.9);
    case 'ar1 0.99':
      return ar1(0.99);
    case 'pink':
      return { noise: { kind: 'pink', sdPa } };
    case 'walk':
      return { noise: { kind: 'walk', sdPa, walkPaPerRootS: c.octaves(0.002e5, 0.01e5) } };
    case 'compressor':
      return {
        noise: { kind: 'compressor', sdPa, amplitudePa: c.octaves(0.05e5, 0.3e5), periodS: c.octaves(5, 60) },
      };
    case 'mean filter':
      return { noise: { kind: 'white', sdPa: 3 * sdPa }, filter: { kind: 'mean', s: c.octaves(1, 20) } };
    case 'first-order filter':
      return { noise: { kind: 'white', sdPa: 3 * sdPa }, filter: { kind: 'first order', s: c.octaves(1, 20) } };
    case 'slow updates':
      return { noise: { kind: 'white', sdPa }, lineHz: c.pick([5, 10, 20]), updateHz: c.pick([0.5, 1, 2]) };
  }
}
