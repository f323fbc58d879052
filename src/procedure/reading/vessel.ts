import { z } from 'zod';
import type { Cylinder } from '../../hydraulics/index.js';
import { pressurePa } from '../../units/index.js';
import { quantity, words } from './fields.js';
import { refusal, type TomlText } from './toml-text.js';

/** Keys of a vessel: a manifold, a valve body, a block. */
export const ofVessel = {
  volume: quantity('volume', '"0.35 L"').optional(),
  parts: z.array(words('"plug 1"')).min(1, 'a vessel has at least one part').optional(),
};

const unfit: readonly { readonly word: RegExp; readonly why: string }[] = [
  {
    word: /\bhoses?\b|schl(?:auch|äuche)/i,
    why: 'a hose stretches and creeps under pressure, which looks like a leak, and hose assemblies have test rules of their own',
  },
  {
    word: /accumulator|bladder|\b\w*speicher\b/i,
    why: 'the gas of an accumulator gives lost oil back at nearly the same pressure and so hides a leak, stores far more energy, and falls under the rules for pressure vessels',
  },
];

/**
 * Refuses what this hold can't judge, whatever it is called: kind, model, or one of the parts.
 * @throws DwellmarkError (`input`) with the reason.
 */
export function refuseUnfit(document: TomlText): void {
  const table = document.data.cylinder;
  if (typeof table !== 'object' || table === null) return;
  const { kind, model, parts } = table as Readonly<Record<string, unknown>>;
  const texts: readonly (readonly [key: string, text: unknown])[] = [
    ['kind', kind],
    ...(kind === 'vessel' ? ([['model', model], ...[parts].flat().map((part) => ['parts', part])] as const) : []),
  ] as readonly (readonly [string, unknown])[];
  for (const [key, text] of texts)
    for (const { word, why } of unfit)
      if (typeof text === 'string' && word.test(text))
        throw refusal(
          document,
          ['cylinder', key],
          `"${text}" is not tested as a vessel: ${why}`,
          'Take it off, and plug its port.',
        );
}

interface VesselTable {
  readonly volume?: number | undefined;
  readonly parts?: readonly string[] | undefined;
  readonly rated_pressure: number;
}

/** @throws DwellmarkError (`input`) for a vessel without its volume or parts, or with measures of a cylinder. */
export function vesselOf(document: TomlText, { volume, parts, rated_pressure: rated }: VesselTable): Cylinder {
  const raw = document.data.cylinder as Readonly<Record<string, unknown>>;
  const extra = ['bore', 'rod', 'stroke', 'barrel_outside', 'stage_bores', 'end_stops'].find((key) => key in raw);
  if (extra !== undefined)
    throw refusal(
      document,
      ['cylinder', extra],
      `a vessel has no "${extra}"`,
      'Take it out, or correct cylinder.kind.',
    );
  if (volume === undefined)
    throw refusal(document, ['cylinder', 'volume'], '"volume" is missing', 'Write the oil in it: volume = "0.35 L".');
  if (parts === undefined)
    throw refusal(
      document,
      ['cylinder', 'parts'],
      '"parts" is missing',
      'List what this volume presses on: parts = ["body", "plugs 1 to 6"]; nothing else is said to be tested.',
    );
  return { kind: 'vessel', boreM: 0, rodM: 0, strokeM: 0, ratedPressurePa: pressurePa(rated), volumeM3: volume, parts };
}
