import type { GaugeEntry } from '../../bench/index.js';
import { type KnownBefore, type LineProposal, lineGrammar } from '../../gauge/index.js';
import { DwellmarkError } from '../../units/index.js';
import { remark } from '../output.js';
import { type FoundGauge, type GaugeAddOptions, given } from './found-gauge.js';

/** What the command line says of the lines. */
export const knownBefore = ({ unit, pattern }: GaugeAddOptions): KnownBefore => ({
  ...(unit === undefined ? {} : { unit }),
  ...(pattern === undefined ? {} : { pattern }),
});

/** @throws DwellmarkError (`input`) when no gauge is read in that unit. */
export const demandUnit = (unit: string): unknown => lineGrammar({ pattern: '{pressure}', unit });

/**
 * The keys that say how a line is read; the unit of the pressure is asked where none is seen.
 * @throws DwellmarkError (`gauge`) for a gauge that sends absolute pressures.
 */
export async function shapeOf(
  proposal: LineProposal,
  options: GaugeAddOptions,
): Promise<Pick<FoundGauge, 'measures' | 'step'> & { readonly keys: GaugeEntry['line'] }> {
  const { measures, step } = proposal;
  const { pattern, oilUnit, decimal, checksum } = proposal.settings;
  if (measures === 'oil') remark('No pressure stands in the lines: it is read as an oil temperature probe.');
  const keys = {
    pattern,
    ...(proposal.settings.unit === undefined ? {} : { unit: await unitOf(proposal, proposal.settings.unit, options) }),
    ...(oilUnit === undefined ? {} : { oil_unit: oilUnit }),
    ...(decimal === undefined ? {} : { decimal }),
    ...(checksum === undefined ? {} : { checksum }),
  };
  return { measures, step, keys };
}

const absoluteUnit = /^(?:psi|[mk]?bar|[kM]?Pa)[ ._-]?a(?:bs)?$|\(a(?:bs)?\)$/i;

/** The unit in the lines, or the one on the display when they carry none. */
async function unitOf(
  { unitSeen, unknownUnit }: LineProposal,
  likely: string,
  { unit, yes }: GaugeAddOptions,
): Promise<string> {
  if (unitSeen) return likely;
  if (unknownUnit !== undefined && absoluteUnit.test(unknownUnit))
    throw new DwellmarkError('gauge', `the gauge sends "${unknownUnit}", an absolute pressure`, {
      advice: 'Set it to gauge pressure: a hold test counts from the air around, and its zero is the vented gauge.',
    });
  if (unit !== undefined) return likely;
  const none = unknownUnit === undefined ? 'no unit' : `no unit that is known ("${unknownUnit}" is none)`;
  if (yes)
    throw new DwellmarkError('usage', `the lines carry ${none}`, { advice: 'Give it with --unit, for example psi.' });
  remark(`The lines carry ${none}.`);
  return given(undefined, {
    question: 'Unit on the display of the gauge',
    option: '--unit',
    preset: likely,
    check: demandUnit,
  });
}
