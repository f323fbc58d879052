import type { Pressure, Temperature } from '../../units/index.js';
import type { ChecksumKind } from '../wire/checksum.js';
import { decodeLine, type LineSettings, lineGrammar } from '../wire/line-decoder.js';
import { compilePattern, partInPressureUnit } from '../wire/line-pattern.js';
import { printedDecimals, readNumber, type ThousandsSign } from '../wire/number.js';
import { readTemperatureUnit } from '../wire/wire-unit.js';
import { rolesAsGiven } from './given-pattern.js';
import { turnsOf } from './line-address.js';
import { checksumOfLines, unknownChecksum } from './line-checksum.js';
import { assignRoles, type Column, type LineRoles, type NumberColumn } from './line-roles.js';
import { type LineToken, type NumberSigns, numberSigns, tokensOf } from './line-token.js';

/** A shape that fits the lines heard, for a person to confirm beside what it reads. */
export interface LineProposal {
  readonly settings: LineSettings;
  /** `oil`: an oil probe, whose lines have a temperature with its unit and no pressure. */
  readonly measures: 'pressure' | 'oil';
  /** The lines carry the pressure's unit; else it is assumed and must be confirmed. */
  readonly unitSeen: boolean;
  /** A word behind the value that is no unit known here, perhaps one of an absolute pressure. */
  readonly unknownUnit?: string;
  /** How sure this is: `sure` by unit or label, `likely` where a unit must be confirmed, `ask` where a person must pick. */
  readonly confidence: 'sure' | 'likely' | 'ask';
  /** What the proposal rests on, in words. */
  readonly why: readonly string[];
  /** What a person must say before anything may be read, and why. */
  readonly ask?: { readonly what: 'column' | 'address' | 'decimal'; readonly because: string };
  /** Every number of the line; those that are no pressure say why. */
  readonly columns: readonly NumberColumn[];
  /** Instruments that take turns on the line. */
  readonly addresses: readonly string[];
  /** The same lines read as the other kind of instrument, where nothing in them tells a pressure from a temperature. */
  readonly otherwise?: LineProposal;
  /** Share of the lines that the shape reads, 0 to 1. */
  readonly fits: number;
  /** One step of the digits sent of what is measured, in its unit on the wire. */
  readonly step: number;
  readonly readings: readonly {
    readonly text: string;
    readonly pressurePa: Pressure | null;
    readonly oppositePa: Pressure | null;
    readonly oilK: Temperature | null;
  }[];
}

/** From fewer lines nothing is proposed. */
export const fewestLines = 3;

/** What is known of a gauge before it is heard. */
export interface KnownBefore {
  /**
   * Unit of what it measures, assumed when the lines don't carry one: a pressure's makes it a gauge, a temperature's an
   * oil probe.
   */
  readonly unit?: string;
  readonly measures?: 'pressure' | 'oil';
  /** The line as a person says that it looks. */
  readonly pattern?: string;
  /** Which number of the line it is, counted from 1. */
  readonly column?: number;
  /** Of several instruments that take turns on one line. */
  readonly address?: string;
  /** The sign between whole and fraction. */
  readonly decimal?: '.' | ',';
  /** The sign between groups of three digits. */
  readonly thousands?: ThousandsSign;
  /** Kind of checksum that the gauge is known to use: found also when every line is the same. */
  readonly checksum?: ChecksumKind;
}
/** A shape that reads less than this share of the lines is no shape. */
const leastFit = 0.6;

/**
 * Proposes pattern, unit, decimal sign and checksum for lines heard from an unknown gauge: at least three whole
 * lines. Undefined when no shape fits most of them.
 * @throws DwellmarkError (`input`) for a pattern or unit that can't be.
 * @example proposeLineShape(['P=+253.7 bar T=21.5 C', ...])?.settings.pattern // 'P={pressure} {unit} T={oil} {oil_unit}'
 */
export function proposeLineShape(heard: readonly string[], known: KnownBefore = {}): LineProposal | undefined {
  const lines = heard.map((line) => line.trim()).filter((line) => line !== '');
  if (lines.length < fewestLines) return undefined;
  const { pattern, checksum: likely = 'none' } = known;
  const checksum = checksumOfLines(lines, likely);
  const unchecked = checksum === null && unknownChecksum(lines);
  const bodies = lines.map((line) => {
    const body = checksum
      ? line.slice(0, line.length - checksum.digits)
      : unchecked
        ? line.replace(/[^*]+$/, '')
        : line;
    return withoutFrame(body);
  });
  const seen = known.decimal ? signsAsSaid(bodies, known.decimal) : numberSigns(bodies);
  const signs: NumberSigns = known.thousands
    ? { decimal: seen.decimal, thousands: known.thousands }
    : seen.doubtful && pattern !== undefined
      ? { decimal: seen.decimal }
      : seen;
  const tokens = bodies.map((body) => tokensOf(body, signs));
  const turns = pattern === undefined ? turnsOf(tokens) : null;
  const address = turns === null ? undefined : (known.address ?? turns.addresses[0]);
  const own = <T>(of: readonly T[]): readonly T[] =>
    turns === null ? of : of.filter((_, index) => turns.ofLine[index] === address);
  const wanted = {
    measures: known.measures ?? measuredBy(known.unit),
    decimal: signs.decimal,
    column: known.column,
    address,
  };
  const columns = pattern === undefined ? columnsOf(own(tokens)) : undefined;
  const roles =
    pattern === undefined
      ? columns && assignRoles(columns, wanted)
      : rolesAsGiven(pattern, lines, checksum?.digits ?? 0);
  if (!roles) return undefined;
  const isChecked = checksum !== null && (pattern === undefined || pattern.includes('checksum'));
  const end = isChecked ? '{checksum}' : unchecked ? '{skip}' : '';
  const more = {
    ...(signs.decimal === '.' ? {} : { decimal: signs.decimal }),
    ...(signs.thousands === undefined ? {} : { thousands: signs.thousands }),
    ...(address !== undefined && roles.pattern.includes('{address}') ? { address } : {}),
    ...(isChecked ? { checksum: checksum.kind } : {}),
    ...(isChecked && Math.max(...checksum.skips) > 0 ? { checksumSkips: checksum.skips } : {}),
  };
  const ask =
    turns !== null && known.address === undefined
      ? ({ what: 'address', because: `${turns.addresses.length} instruments take turns on this line` } as const)
      : signs.doubtful
        ? ({
            what: 'decimal',
            because: 'the comma may be the decimal sign, part thousands or part two numbers',
          } as const)
        : roles.doubt !== undefined
          ? ({ what: 'column', because: roles.doubt } as const)
          : undefined;
  const said = {
    why: reasonsFor(roles, isChecked ? checksum.kind : null, unchecked),
    columns: roles.columns ?? [],
    addresses: turns?.addresses ?? [],
    ...(ask === undefined ? {} : { ask }),
  };
  const read = (one: LineRoles): LineProposal | undefined =>
    proposalOf(own(lines), pattern ?? one.pattern + end, { roles: one, unit: known.unit, more, said });
  const proposal = read(roles);
  const otherwise = roles.otherwise && couldBeOil(roles, signs) ? read(roles.otherwise) : undefined;
  return proposal && { ...proposal, ...(otherwise ? { otherwise } : {}) };
}

/** Start and end of text are of the frame. */
const withoutFrame = (text: string): string => text.replaceAll('\u0002', '').replaceAll('\u0003', '');

/** A person said which sign is the decimal one: the other parts thousands, where it parts groups of three. */
function signsAsSaid(bodies: readonly string[], decimal: '.' | ','): NumberSigns {
  const other = decimal === '.' ? ',' : '.';
  const parts = new RegExp(`\\d[${other}]\\d{3}(?!\\d)`);
  return bodies.some((body) => parts.test(body)) ? { decimal, thousands: other } : { decimal };
}

function reasonsFor(roles: LineRoles, checksum: ChecksumKind | null, unchecked: boolean): readonly string[] {
  const unit = roles.measures === 'pressure' ? roles.unit : roles.oilUnit;
  const others = (roles.columns ?? []).flatMap(({ other, texts }) => (other ? [`${texts[0]} ${other}`] : []));
  return [
    unit === undefined ? 'no unit stands in the lines' : `the unit ${unit} stands in the lines`,
    ...others,
    ...(checksum === null ? [] : [`every line ends with a checksum that agrees (${checksum})`]),
    ...(unchecked ? ['what follows the star agrees with no checksum known here: it is not checked'] : []),
  ];
}

/** What an instrument measures by the unit that it is known to have; undefined when none is known. */
const measuredBy = (unit: string | undefined): LineRoles['measures'] | undefined =>
  unit === undefined ? undefined : readTemperatureUnit(unit) === undefined ? 'pressure' : 'oil';

/** Oil is nowhere colder or hotter, °C. */
const oilBetween = [-40, 150] as const;

/** Whether every number is one that an oil probe could send, in degrees Celsius. */
const couldBeOil = ({ measuredTexts }: LineRoles, { decimal, thousands }: NumberSigns): boolean =>
  measuredTexts.every((text) => {
    const value = readNumber(text, decimal, thousands);
    return value === undefined || (value >= oilBetween[0] && value <= oilBetween[1]);
  });

function proposalOf(
  lines: readonly string[],
  pattern: string,
  found: {
    readonly roles: LineRoles;
    readonly unit: string | undefined;
    readonly more: Pick<LineSettings, 'decimal' | 'thousands' | 'address' | 'checksum' | 'checksumSkips'>;
    readonly said: Pick<LineProposal, 'why' | 'columns' | 'addresses' | 'ask'>;
  },
): LineProposal | undefined {
  const { roles, unit, more, said } = found;
  const given = measuredBy(unit);
  const { parts } = compilePattern(pattern);
  const oilUnit = roles.oilUnit ?? (given === 'oil' && parts.has('oil') ? readTemperatureUnit(unit ?? '') : undefined);
  const settings: LineSettings = {
    pattern,
    ...(partInPressureUnit({ parts }) === undefined
      ? {}
      : { unit: roles.unit ?? (given === 'pressure' && unit !== undefined ? unit : 'bar') }),
    ...(oilUnit === undefined ? {} : { oilUnit }),
    ...more,
  };
  const grammar = lineGrammar(settings);
  const readings = lines.flatMap((text) => {
    const line = decodeLine(grammar, text);
    return line.ok ? [{ text, pressurePa: line.pressurePa, oppositePa: line.oppositePa, oilK: line.oilK }] : [];
  });
  const fits = readings.length / lines.length;
  if (fits < leastFit) return undefined;
  const { measures, measuredTexts, unknownUnit } = roles;
  const decimals = Math.max(0, ...measuredTexts.map((text) => printedDecimals(text, more.decimal ?? '.')));
  const unitSeen = roles.unit !== undefined;
  const sure = measures === 'pressure' ? unitSeen : roles.oilUnit !== undefined;
  return {
    settings,
    measures,
    unitSeen,
    confidence: said.ask ? 'ask' : sure ? 'sure' : 'likely',
    ...said,
    ...(unknownUnit === undefined ? {} : { unknownUnit }),
    fits,
    step: 10 ** -decimals,
    readings,
  };
}

/** Tokens of the lines side by side, for those lines that have the most common sequence of kinds. */
function columnsOf(lines: readonly (readonly LineToken[])[]): readonly Column[] | undefined {
  const bySequence = new Map<string, (readonly LineToken[])[]>();
  for (const tokens of lines) {
    // Blanks before a number are padding: they come and go with its length.
    const padded = tokens.filter((token, index) => token.kind !== 'blank' || tokens[index + 1]?.kind !== 'number');
    const sequence = padded.map((token) => (token.kind === 'sign' ? token.text : token.kind)).join('|');
    bySequence.set(sequence, [...(bySequence.get(sequence) ?? []), tokens]);
  }
  const most = [...bySequence.values()].reduce((best, one) => (one.length > best.length ? one : best), []);
  const columns: { kind: LineToken['kind']; texts: string[]; blankBefore: boolean }[] = [];
  for (const tokens of most) {
    let column = 0;
    let blank = false;
    for (const [index, token] of tokens.entries()) {
      if (token.kind === 'blank' && tokens[index + 1]?.kind === 'number') {
        blank = true;
        continue;
      }
      const at = columns[column];
      if (at) {
        at.texts.push(token.text);
        at.blankBefore &&= blank;
      } else columns[column] = { kind: token.kind, texts: [token.text], blankBefore: blank };
      blank = false;
      column += 1;
    }
  }
  return columns.length > 0 ? columns : undefined;
}
