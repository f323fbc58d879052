import type { Pressure, Temperature } from '../../units/index.js';
import { type ChecksumKind, checksumText } from '../wire/checksum.js';
import { decodeLine, type LineSettings, lineGrammar } from '../wire/line-decoder.js';
import { compilePattern, partInPressureUnit } from '../wire/line-pattern.js';
import { type DecimalSign, printedDecimals, readNumber } from '../wire/number.js';
import { readTemperatureUnit } from '../wire/wire-unit.js';
import { rolesAsGiven } from './given-pattern.js';
import { assignRoles, type Column, type LineRoles } from './line-roles.js';
import { decimalOf, type LineToken, tokensOf } from './line-token.js';

/** A shape that fits the lines heard, for a person to confirm beside what it reads. */
export interface LineProposal {
  readonly settings: LineSettings;
  /** `oil`: an oil probe, whose lines have a temperature with its unit and no pressure. */
  readonly measures: 'pressure' | 'oil';
  /** The lines carry the pressure's unit; else it is assumed and must be confirmed. */
  readonly unitSeen: boolean;
  /** A word behind the value that is no unit known here, perhaps one of an absolute pressure. */
  readonly unknownUnit?: string;
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
export function proposeLineShape(
  heard: readonly string[],
  { unit, measures, pattern, checksum: likely = 'none' }: KnownBefore = {},
): LineProposal | undefined {
  const lines = heard.map((line) => line.trim()).filter((line) => line !== '');
  if (lines.length < fewestLines) return undefined;
  const checksum = checksumOfLines(lines, likely);
  const digits = checksum === 'none' ? 0 : checksum === 'crc16' ? 4 : 2;
  const bodies = lines.map((line) => line.slice(0, line.length - digits));
  const decimal = decimalOf(bodies);
  const columns = pattern === undefined ? columnsOf(bodies.map((body) => tokensOf(body, decimal))) : undefined;
  const wanted = measures ?? measuredBy(unit);
  const roles = pattern === undefined ? columns && assignRoles(columns, wanted) : rolesAsGiven(pattern, lines, digits);
  if (!roles) return undefined;
  const hasChecksum = digits > 0 && (pattern === undefined || pattern.includes('checksum'));
  const more = { ...(decimal === '.' ? {} : { decimal }), ...(hasChecksum ? { checksum } : {}) };
  const read = (one: LineRoles): LineProposal | undefined =>
    proposalOf(lines, pattern ?? `${one.pattern}${hasChecksum ? '{checksum}' : ''}`, { roles: one, unit, more });
  const proposal = read(roles);
  const otherwise = roles.otherwise && couldBeOil(roles, decimal) ? read(roles.otherwise) : undefined;
  return proposal && { ...proposal, ...(otherwise ? { otherwise } : {}) };
}

/** What an instrument measures by the unit that it is known to have; undefined when none is known. */
const measuredBy = (unit: string | undefined): LineRoles['measures'] | undefined =>
  unit === undefined ? undefined : readTemperatureUnit(unit) === undefined ? 'pressure' : 'oil';

/** Oil is nowhere colder or hotter, °C. */
const oilBetween = [-40, 150] as const;

/** Whether every number is one that an oil probe could send, in degrees Celsius. */
const couldBeOil = ({ measuredTexts }: LineRoles, decimal: DecimalSign): boolean =>
  measuredTexts.every((text) => {
    const value = readNumber(text, decimal);
    return value === undefined || (value >= oilBetween[0] && value <= oilBetween[1]);
  });

function proposalOf(
  lines: readonly string[],
  pattern: string,
  found: {
    readonly roles: LineRoles;
    readonly unit: string | undefined;
    readonly more: Pick<LineSettings, 'decimal' | 'checksum'>;
  },
): LineProposal | undefined {
  const { roles, unit, more } = found;
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
  const decimals = Math.max(0, ...measuredTexts.map(printedDecimals));
  return {
    settings,
    measures,
    unitSeen: roles.unit !== undefined,
    ...(unknownUnit === undefined ? {} : { unknownUnit }),
    fits,
    step: 10 ** -decimals,
    readings,
  };
}

/** The kind of checksum that every line ends with, when the lines differ enough to tell. */
function checksumOfLines(lines: readonly string[], likely: ChecksumKind): ChecksumKind {
  const agrees = (kind: ChecksumKind, digits: number): boolean =>
    (kind === likely || new Set(lines.map((line) => line.slice(-digits))).size > 1) &&
    lines.every(
      (line) => checksumText(kind, Buffer.from(line.slice(0, -digits), 'latin1')) === line.slice(-digits).toUpperCase(),
    );
  if (agrees('crc16', 4)) return 'crc16';
  return (['sum', 'twos-complement', 'xor'] as const).find((kind) => agrees(kind, 2)) ?? 'none';
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
