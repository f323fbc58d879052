import type { GaugeEntry } from '../../bench/index.js';
import {
  isAbsolute,
  type KnownBefore,
  knownUnits,
  type LineProposal,
  lineGrammar,
  proposeLineShape,
} from '../../gauge/index.js';
import { DwellmarkError } from '../../units/index.js';
import { choose } from '../ask.js';
import { remark } from '../output.js';
import { type FoundGauge, type GaugeAddOptions, given } from './found-gauge.js';
import { demandUnit, measuredAsSaid } from './measured.js';

/** What the command line says of the lines. */
export function knownBefore(options: GaugeAddOptions): KnownBefore {
  const { unit, pattern, column, address, decimal, thousands } = options;
  const said = measuredAsSaid(options);
  const known = unit ?? (said?.measures === 'oil' ? said.unit : undefined);
  return {
    ...(known === undefined ? {} : { unit: known }),
    ...(said === null ? {} : { measures: said.measures }),
    ...(pattern === undefined ? {} : { pattern }),
    ...(column === undefined ? {} : { column }),
    ...(address === undefined ? {} : { address }),
    ...(decimal === undefined ? {} : { decimal }),
    ...(thousands === undefined ? {} : { thousands }),
  };
}

/**
 * The keys that say how a line is read. The unit of the pressure is asked where none is seen; so is what is measured,
 * where nothing in the lines tells.
 * @throws DwellmarkError (`gauge`) for a gauge that sends absolute pressures, (`usage`) when nobody may be asked.
 */
export async function shapeOf(
  first: LineProposal,
  lines: readonly string[],
  options: GaugeAddOptions,
): Promise<Pick<FoundGauge, 'measures' | 'step'> & { readonly keys: GaugeEntry['line'] }> {
  const heard = await told(first, lines, options);
  demandGaugePressure(heard);
  remark(`It is read so because ${heard.why.join('; ')}.`);
  const proposal = heard.otherwise ? await settled(heard, heard.otherwise, options) : heard;
  const { measures, step } = proposal;
  const { pattern, unit, oilUnit, decimal, thousands, address, checksum, checksumSkips } = proposal.settings;
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
    ...(thousands === undefined ? {} : { thousands }),
    ...(address === undefined ? {} : { address }),
    ...(checksum === undefined ? {} : { checksum }),
    ...(checksumSkips === undefined ? {} : { checksum_skips: [...checksumSkips] }),
  };
  return { measures, step, keys };
}

/** What the lines leave open: a person picks the column, the instrument or the decimal sign, with live values beside. */
async function told(first: LineProposal, lines: readonly string[], options: GaugeAddOptions): Promise<LineProposal> {
  let known = knownBefore(options);
  let heard = first;
  // One answer may lead to the next question, never to the same one.
  for (let asked = 0; heard.ask !== undefined && asked < 3; asked += 1) {
    const { what, because } = heard.ask;
    const option = `--${what}`;
    if (options.yes) throw new DwellmarkError('usage', because, { advice: adviceFor(heard, option) });
    remark(`${because.charAt(0).toUpperCase()}${because.slice(1)}.`);
    known = { ...known, ...(await answerTo(heard, lines, option)) };
    const again = proposeLineShape(lines, known);
    if (!again)
      throw new DwellmarkError('gauge', 'the lines can not be read that way', {
        advice: 'Write the line yourself with --pattern.',
      });
    heard = again;
  }
  return heard;
}

async function answerTo(
  { ask, columns, addresses }: LineProposal,
  lines: readonly string[],
  option: string,
): Promise<KnownBefore> {
  switch (ask?.what) {
    case 'address': {
      const rows = addresses.map((address) => `${address}   ${lines.find((line) => line.includes(address)) ?? ''}`);
      const row = await choose('Which one is it?', rows, option);
      return { address: addresses[rows.indexOf(row)] ?? '' };
    }
    case 'decimal': {
      const row = await choose(`What is the decimal sign in "${lines[0]}"?`, ['.', ','] as const, option);
      return { decimal: row };
    }
    default: {
      const rows = columns.map(columnRow);
      const row = await choose('Which number is the one on the display?', rows, option);
      return { column: rows.indexOf(row) + 1 };
    }
  }
}

/** `P: 253.2 253.1 253.2 (rises evenly, as a clock or a count does)`. */
const columnRow = ({ label, texts, other }: LineProposal['columns'][number]): string =>
  `${label === '' ? '' : `${label}: `}${texts.slice(-4).join('  ')}${other === undefined ? '' : `   (${other})`}`;

function adviceFor({ columns, addresses }: LineProposal, option: string): string {
  if (option === '--address') return `Say which one: --address ${addresses.join(' or --address ')}.`;
  if (option === '--decimal') return 'Say it with --decimal "." or --decimal ",", or write the line with --pattern.';
  const rows = columns.map((column, index) => `${index + 1} is ${columnRow(column)}`);
  return `Say which with --column: ${rows.join('; ')}.`;
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

function demandGaugePressure({ unknownUnit, unitSeen }: LineProposal): void {
  if (unitSeen || unknownUnit === undefined || !isAbsolute(unknownUnit)) return;
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
