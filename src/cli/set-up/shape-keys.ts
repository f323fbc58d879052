import type { GaugeEntry } from '../../bench/index.js';
import { type KnownBefore, knownUnits, type LineProposal, lineGrammar } from '../../gauge/index.js';
import { DwellmarkError } from '../../units/index.js';
import { choose } from '../ask.js';
import { remark } from '../output.js';
import { type FoundGauge, type GaugeAddOptions, given } from './found-gauge.js';
import { demandUnit, measuredAsSaid } from './measured.js';

/** What the command line says of the lines. */
export function knownBefore(options: GaugeAddOptions): KnownBefore {
  const { unit, pattern } = options;
  const said = measuredAsSaid(options);
  const known = unit ?? (said?.measures === 'oil' ? said.unit : undefined);
  return {
    ...(known === undefined ? {} : { unit: known }),
    ...(said === null ? {} : { measures: said.measures }),
    ...(pattern === undefined ? {} : { pattern }),
  };
}

/**
 * The keys that say how a line is read. The unit of the pressure is asked where none is seen; so is what is measured,
 * where nothing in the lines tells.
 * @throws DwellmarkError (`gauge`) for a gauge that sends absolute pressures, (`usage`) when nobody may be asked.
 */
export async function shapeOf(
  heard: LineProposal,
  options: GaugeAddOptions,
): Promise<Pick<FoundGauge, 'measures' | 'step'> & { readonly keys: GaugeEntry['line'] }> {
  demandGaugePressure(heard);
  const proposal = heard.otherwise ? await settled(heard, heard.otherwise, options) : heard;
  const { measures, step } = proposal;
  const { pattern, unit, oilUnit, decimal, checksum } = proposal.settings;
  if (measures === 'pressure' && measuredAsSaid(options)?.measures === 'oil')
    throw new DwellmarkError('usage', 'a pressure stands in the lines, but a temperature was said', {
      advice: 'Leave out --unit, or look whether this is the oil probe.',
    });
  if (measures === 'oil') remark('No pressure stands in the lines: it is read as an oil temperature probe.');
  const keys = {
    pattern,
    ...(unit === undefined ? {} : { unit: proposal.unitSeen ? unit : await unitOf(proposal, unit, options) }),
    ...(oilUnit === undefined ? {} : { oil_unit: oilUnit }),
    ...(decimal === undefined ? {} : { decimal }),
    ...(checksum === undefined ? {} : { checksum }),
  };
  return { measures, step, keys };
}

const unitsToGive = `${knownUnits.pressure} for a gauge; ${knownUnits.temperature} for an oil probe`;

/** A person says whether it is a gauge or an oil probe. */
async function settled(heard: LineProposal, other: LineProposal, { yes }: GaugeAddOptions): Promise<LineProposal> {
  const what =
    heard.measures === 'oil'
      ? 'beside the temperature stands a whole number that never changes: an address, or the pressure of a vented gauge'
      : `the lines carry ${noUnit(heard)}, and do not tell whether they are a pressure or an oil temperature`;
  if (yes) throw new DwellmarkError('usage', what, { advice: `Say which it is with --unit: ${unitsToGive}.` });
  remark(`${what.charAt(0).toUpperCase()}${what.slice(1)}.`);
  if (heard.measures === 'oil') {
    const kinds = ['an oil probe, and the number its address', 'a gauge, and the number its pressure'] as const;
    return (await choose('What is it?', kinds, '--unit')) === kinds[0] ? heard : other;
  }
  const question = `Unit on its display (${unitsToGive})`;
  const { measures, unit } = demandUnit(await given(undefined, { question, option: '--unit', check: demandUnit }));
  return measures === 'oil'
    ? { ...other, settings: { ...other.settings, oilUnit: unit } }
    : { ...heard, settings: { ...heard.settings, unit }, unitSeen: true };
}

const noUnit = ({ unknownUnit }: LineProposal): string =>
  unknownUnit === undefined ? 'no unit' : `no unit that is known ("${unknownUnit}" is none)`;

const absoluteUnit = /^(?:psi|[mk]?bar|[kM]?Pa)[ ._-]?a(?:bs)?$|\(a(?:bs)?\)$/i;

function demandGaugePressure({ unknownUnit, unitSeen }: LineProposal): void {
  if (unitSeen || unknownUnit === undefined || !absoluteUnit.test(unknownUnit)) return;
  throw new DwellmarkError('gauge', `the gauge sends "${unknownUnit}", an absolute pressure`, {
    advice: 'Set it to gauge pressure: a hold test counts from the air around, and its zero is the vented gauge.',
  });
}

/** The unit on the display of a gauge whose lines carry none. */
async function unitOf(proposal: LineProposal, likely: string, { unit, yes }: GaugeAddOptions): Promise<string> {
  if (unit !== undefined) return likely;
  const none = noUnit(proposal);
  if (yes)
    throw new DwellmarkError('usage', `the lines carry ${none}`, { advice: 'Give it with --unit, for example psi.' });
  remark(`The lines carry ${none}.`);
  return given(undefined, {
    question: 'Unit on the display of the gauge',
    option: '--unit',
    preset: likely,
    check: (text) => lineGrammar({ pattern: '{pressure}', unit: text }),
  });
}
