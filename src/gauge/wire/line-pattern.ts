import { DwellmarkError } from '../../units/index.js';
import { markSource } from './no-value.js';
import { groupedNumberSource, numberSource, type ThousandsSign } from './number.js';
import { unitSource } from './wire-unit.js';

/**
 * The shape of a gauge's line. Theory of operation: a shape is written either as a **template**, the line as it looks
 * with its changing parts in braces, `{pressure} {unit}; {oil} C`, or as a regular expression between slashes with
 * named groups, `/^P=(?<pressure>\S+)$/`. A template's letters stand for themselves in either
 * case, a blank for any run of blanks or
 * tabs, and the whole line must fit, start and end of text (02 and 03) aside: a line that fits only in part is a bad
 * line, not a number.
 */
export interface LinePattern {
  readonly source: string;
  readonly shape: RegExp;
  /** The named parts this pattern has. */
  readonly parts: ReadonlySet<LinePart>;
}

/** Parts that are read in the unit of the pressure. */
const pressureParts = ['pressure', 'opposite', 'unit'] as const satisfies readonly LinePart[];

/** The first part for which a unit of the pressure must be known; undefined for the lines of an oil probe. */
export const partInPressureUnit = ({ parts }: Pick<LinePattern, 'parts'>): LinePart | undefined =>
  pressureParts.find((part) => parts.has(part));

const partSources = {
  /** Pressure at the port under test: a number or a no-value mark. */
  pressure: `${numberSource}|${markSource}`,
  /** Pressure at the other port. */
  opposite: `${numberSource}|${markSource}`,
  /** Oil temperature. */
  oil: `${numberSource}|${markSource}`,
  /** The instrument's own clock, seconds: the reading's time in the place of the time of arrival. */
  elapsed: numberSource,
  /** Unit of both pressures; checked against the set one in every line. */
  unit: unitSource,
  /** Unit of the oil temperature; checked in every line. */
  oil_unit: unitSource,
  /** A word that says how the gauge is: OK, HOLD, PEAK, OL. */
  status: '[A-Za-z0-9*!?_-]*',
  /** The instrument's own serial: a change means another device. */
  serial: '[A-Za-z0-9][A-Za-z0-9._-]*',
  /** Which of several instruments on one line speaks; only the lines of the one that is set are read. */
  address: '[A-Za-z0-9]+',
  /** Hexadecimal checksum of what stands before it. */
  checksum: '[0-9A-F]{2}',
  /** Any word, not looked at. May stand several times. */
  skip: String.raw`[^\s,;]*`,
} as const;

export type LinePart = keyof typeof partSources;
const partNames = Object.keys(partSources) as LinePart[];

/**
 * Makes a pattern from its text.
 * @throws DwellmarkError (`input`, key `pattern`) when a part is unknown, stands twice, or neither `pressure` nor `oil` is in it.
 * @example compilePattern('{pressure} {unit}').shape.test(' +253.7 bar') // true
 */
export function compilePattern(source: string, checksumDigits: 2 | 4 = 2, thousands?: ThousandsSign): LinePattern {
  const shape = source.startsWith('/') ? fromExpression(source) : fromTemplate(source, checksumDigits, thousands);
  const named = [...shape.source.matchAll(/\(\?<([A-Za-z_]+)>/g)].map((match) => match[1] ?? '');
  for (const name of named) if (!isPart(name)) throw unknownPart(source, name);
  const parts = new Set(named.filter(isPart));
  if (!parts.has('pressure') && !parts.has('oil'))
    throw bad(
      source,
      'has no part for the pressure or the oil temperature',
      'Put {pressure} where the pressure stands; {oil} for a probe.',
    );
  return { source, shape, parts };
}

function fromTemplate(source: string, checksumDigits: 2 | 4, thousands?: ThousandsSign): RegExp {
  const sourceOf = (name: LinePart): string => {
    if (name === 'checksum') return `[0-9A-F]{${checksumDigits}}`;
    if (!isNumber(name) || thousands === undefined) return partSources[name];
    return name === 'elapsed' ? groupedNumberSource(thousands) : `${groupedNumberSource(thousands)}|${markSource}`;
  };
  const seen = new Set<string>();
  const pieces = templatePieces(source).map((piece) => {
    if ('text' in piece) return literal(piece.text);
    const { name } = piece;
    if (!isPart(name)) throw unknownPart(source, name);
    if (name === 'skip') return `(?:${partSources.skip})`;
    if (seen.has(name)) throw bad(source, `names {${name}} twice`, 'Use {skip} for what is not to be read.');
    seen.add(name);
    const padding = isNumber(name) ? '[ \\t]*' : '';
    return `${padding}(?<${name}>${sourceOf(name)})`;
  });
  return new RegExp(`^[ \\t\u0002]*${pieces.join('')}[ \\t\u0003]*$`, 'i');
}

/** A template's letters and parts in their order. */
export const templatePieces = (source: string): ({ readonly text: string } | { readonly name: string })[] =>
  source
    .split(/(\{[^}]*\})/)
    .filter((piece) => piece !== '')
    .map((piece) => {
      const name = /^\{(.*)\}$/.exec(piece)?.[1];
      return name === undefined ? { text: piece } : { name };
    });

function fromExpression(source: string): RegExp {
  const match = /^\/(.*)\/(i?)$/.exec(source);
  if (!match?.[1]) throw bad(source, 'does not end with a slash', 'Write a regular expression as /.../ or /.../i.');
  try {
    return new RegExp(`^(?:${match[1]})$`, match[2]);
  } catch (cause) {
    throw new DwellmarkError('input', `pattern "${source}" is not a regular expression: ${String(cause)}`, {
      place: { key: 'pattern' },
      cause,
    });
  }
}

/** Letters for themselves; a run of blanks for any blanks, which may be missing where a sign or mark parts the words. */
const literal = (text: string): string => text.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&').replace(/[ \t]+/g, '[ \\t]+');

/** Numbers are often padded to a width. */
const isNumber = (name: LinePart): boolean =>
  name === 'pressure' || name === 'opposite' || name === 'oil' || name === 'elapsed';

const isPart = (name: string): name is LinePart => Object.hasOwn(partSources, name);

const bad = (source: string, what: string, advice: string): DwellmarkError =>
  new DwellmarkError('input', `pattern "${source}" ${what}`, { place: { key: 'pattern' }, advice });

const unknownPart = (source: string, name: string): DwellmarkError =>
  bad(source, `has the unknown part "${name}"`, `Known parts: ${partNames.join(', ')}.`);
