import { DwellmarkError, findUnit, type Pressure, type Temperature, type Unit } from '../../units/index.js';
import type { GaugeFaultCode } from '../driver.js';
import { readingFlags } from '../reading.js';
import { type ChecksumKind, checksumText } from './checksum.js';
import { compilePattern, type LinePattern, partInPressureUnit } from './line-pattern.js';
import { readMark, readMarkNumber } from './no-value.js';
import { type DecimalSign, readNumber, type ThousandsSign } from './number.js';
import { readStatus, type StatusName } from './status-word.js';
import { tooLarge, tooLate, wholeMicroseconds, wholeMillikelvins, wholePascals } from './whole-si.js';
import { knownUnits, readPressureUnit, readTemperatureUnit } from './wire-unit.js';

/** How to read a gauge's lines, as a person sets it. */
export interface LineSettings {
  /** See {@link compilePattern}. */
  readonly pattern: string;
  /** Pressure unit on the wire, `bar`; both pressures are in it. Not needed for lines without any. */
  readonly unit?: string;
  /** Unit of the oil temperature; C when absent. */
  readonly oilUnit?: string;
  /** Point when absent. */
  readonly decimal?: DecimalSign;
  /** Between groups of three digits; none when absent. */
  readonly thousands?: ThousandsSign;
  /** Stands for {address}: lines of another one are not this gauge's. */
  readonly address?: string;
  readonly checksum?: ChecksumKind;
  /** How many signs at the line's start, and right before the checksum, it does not cover. */
  readonly checksumSkips?: readonly [start: number, before: number];
  /** Status words of this gauge and what they mean. */
  readonly status?: Readonly<Record<string, StatusName>>;
  /** Numbers that this gauge sends in place of a value, e.g. 32767. */
  readonly noValueNumbers?: readonly number[];
}

/** Settings made ready: checked once, so that no line is read with a wrong setting. */
export interface LineGrammar {
  readonly settings: LineSettings;
  readonly pattern: LinePattern;
  /** Null: no unit of a pressure is set, and none is needed. */
  readonly unit: Unit | null;
  readonly unitName: string | null;
  readonly oilUnit: Unit;
  readonly oilUnitName: string;
  readonly decimal: DecimalSign;
}

/** A line read, or the reason why it could not be. */
export type DecodedLine =
  | {
      readonly ok: true;
      readonly pressurePa: Pressure | null;
      readonly oppositePa: Pressure | null;
      readonly oilK: Temperature | null;
      /** On the instrument's own clock, microseconds; null when the line does not tell. */
      readonly elapsedUs: number | null;
      readonly flags: number;
      /** Why there is no value, or what else is worth a fault; empty for a good line. */
      readonly trouble: readonly { readonly code: GaugeFaultCode; readonly text: string }[];
      readonly serial: string | null;
    }
  | { readonly ok: false; readonly code: 'bad-line' | 'checksum' | 'other-address'; readonly reason: string };

/**
 * Checks line settings.
 * @throws DwellmarkError (`input`) naming the key: an unknown unit, a pressure without one, a pattern with neither
 * pressure nor oil temperature, a checksum that the pattern has no place for.
 */
export function lineGrammar(settings: LineSettings): LineGrammar {
  const pattern = compilePattern(settings.pattern, settings.checksum === 'crc16' ? 4 : 2, settings.thousands);
  const { unit, unitName } = pressureUnitOf(settings.unit, pattern);
  const oilUnitName = readTemperatureUnit(settings.oilUnit ?? 'C');
  const oilUnit = oilUnitName === undefined ? undefined : findUnit('temperature', oilUnitName);
  if (oilUnitName === undefined || !oilUnit) throw badUnit('oil_unit', settings.oilUnit ?? '', knownUnits.temperature);
  const wantsChecksum = (settings.checksum ?? 'none') !== 'none';
  if (wantsChecksum !== pattern.parts.has('checksum'))
    throw new DwellmarkError(
      'input',
      wantsChecksum
        ? `checksum "${settings.checksum}" is set, but the pattern has no {checksum}`
        : 'the pattern has a {checksum}, but no kind of checksum is set',
      { place: { key: 'checksum' }, advice: 'Set both or neither; kinds: sum, twos-complement, xor, crc16.' },
    );
  const decimal = settings.decimal ?? '.';
  if ((settings.address === undefined) === pattern.parts.has('address'))
    throw new DwellmarkError(
      'input',
      settings.address === undefined
        ? 'the pattern has an {address}, but no address is set'
        : 'an address is set, but the pattern has no {address}',
      { place: { key: 'address' } },
    );
  if (settings.thousands === decimal)
    throw new DwellmarkError('input', `thousands and decimal are both "${decimal}"`, { place: { key: 'thousands' } });
  return { settings, pattern, unit, unitName, oilUnit, oilUnitName, decimal };
}

function pressureUnitOf(text: string | undefined, pattern: LinePattern): Pick<LineGrammar, 'unit' | 'unitName'> {
  if (text === undefined) {
    const part = partInPressureUnit(pattern);
    if (part === undefined) return { unit: null, unitName: null };
    throw new DwellmarkError('input', `the pattern has a {${part}}, but the unit of the pressure is not set`, {
      place: { key: 'unit' },
      advice: 'Write for example unit = "bar". Lines with an oil temperature and no pressure need none.',
    });
  }
  const unitName = readPressureUnit(text);
  const unit = unitName === undefined ? undefined : findUnit('pressure', unitName);
  if (unitName !== undefined && unit) return { unit, unitName };
  throw badUnit(
    'unit',
    text,
    knownUnits.pressure,
    readTemperatureUnit(text) ? ' The unit of a temperature is oil_unit.' : '',
  );
}

const badUnit = (key: string, found: string, known: string, more = ''): DwellmarkError =>
  new DwellmarkError('input', `"${found}" is not a unit a gauge is read in`, {
    place: { key },
    advice: `Known: ${known}.${more}`,
  });

/**
 * Reads one whole line, terminator off. Strict: the whole line fits the pattern, or it is bad. A no-value mark, a
 * held or peak value, or another unit gives null and the reason, never a number.
 * @example decodeLine(lineGrammar({ pattern: '{pressure} {unit}', unit: 'bar' }), '253.7 bar') // pressurePa 25370000
 */
export function decodeLine(grammar: LineGrammar, text: string): DecodedLine {
  const match = grammar.pattern.shape.exec(text);
  const parts = match?.groups;
  if (!parts) return { ok: false, code: 'bad-line', reason: `does not fit the pattern ${grammar.pattern.source}` };
  if (parts.address !== undefined && parts.address.toUpperCase() !== grammar.settings.address?.toUpperCase())
    return { ok: false, code: 'other-address', reason: `is of address ${parts.address}` };
  const wrongSum = checksumTrouble(grammar, text, parts.checksum);
  if (wrongSum !== undefined) return { ok: false, code: 'checksum', reason: wrongSum };

  const status = parts.status === undefined ? undefined : readStatus(parts.status, grammar.settings.status);
  if (parts.status !== undefined && !status)
    return { ok: false, code: 'bad-line', reason: `has the unknown status word "${parts.status}"` };

  const pressure = readChannel(grammar, parts.pressure);
  const opposite = readChannel(grammar, parts.opposite);
  const oil = readChannel(grammar, parts.oil);
  const elapsedS =
    parts.elapsed === undefined ? null : readNumber(parts.elapsed.trim(), grammar.decimal, grammar.settings.thousands);
  if (pressure === 'bad' || opposite === 'bad' || oil === 'bad' || elapsedS === undefined)
    return {
      ok: false,
      code: 'bad-line',
      reason: `has no number with a decimal "${grammar.decimal}" where one belongs`,
    };

  const trouble: { code: GaugeFaultCode; text: string }[] = [];
  let flags = status?.flags ?? 0;
  let keep = status?.live ?? true;
  if (status && !status.live)
    trouble.push({ code: codeOfFlags(status.flags), text: `the gauge says that it is ${status.words}` });
  if (status?.zeroed) trouble.push({ code: 'zero-shift', text: 'the gauge was zeroed' });
  if (pressure.noValue) {
    flags |= pressure.noValue.flag;
    trouble.push({ code: codeOfFlags(pressure.noValue.flag), text: `the gauge is ${pressure.noValue.words}` });
  }
  if (parts.unit !== undefined && readPressureUnit(parts.unit) !== grammar.unitName) {
    keep = false;
    flags |= readingFlags.otherUnit;
    trouble.push({ code: 'unit-changed', text: `the gauge sends ${parts.unit}, but ${grammar.unitName} is set` });
  }
  const otherOilUnit = parts.oil_unit !== undefined && readTemperatureUnit(parts.oil_unit) !== grammar.oilUnitName;
  if (otherOilUnit)
    trouble.push({
      code: 'unit-changed',
      text: `the oil is sent in ${parts.oil_unit}, but ${grammar.oilUnitName} is set`,
    });
  const pascals = (value: number | null): Pressure | null =>
    keep && value !== null && grammar.unit ? wholePascals(value, grammar.unit) : null;
  const [pressurePa, oppositePa] = [pascals(pressure.value), pascals(opposite.value)];
  // What is wrong with a gauge says nothing of its oil channel; with a probe there is nothing else.
  const oilKnown = !otherOilUnit && (keep || grammar.pattern.parts.has('pressure'));
  const oilK = oil.value === null || !oilKnown ? null : wholeMillikelvins(oil.value, grammar.oilUnit);
  const elapsedUs = elapsedS === null ? null : wholeMicroseconds(elapsedS);
  if (tooLarge(pressurePa) || tooLarge(oppositePa) || tooLarge(oilK) || tooLate(elapsedUs))
    return { ok: false, code: 'bad-line', reason: 'has a number too large for anything measured' };
  return {
    ok: true,
    pressurePa,
    oppositePa,
    oilK,
    elapsedUs,
    flags,
    trouble,
    serial: parts.serial ?? null,
  };
}

interface Channel {
  readonly value: number | null;
  readonly noValue?: { readonly flag: number; readonly words: string };
}
const absent: Channel = { value: null };

function readChannel(grammar: LineGrammar, text: string | undefined): Channel | 'bad' {
  if (text === undefined) return absent;
  const bare = text.trim();
  const value = readNumber(bare, grammar.decimal, grammar.settings.thousands);
  const noValue = value === undefined ? readMark(bare) : readMarkNumber(value, grammar.settings.noValueNumbers);
  if (noValue) return { value: null, noValue };
  return value === undefined ? 'bad' : { value };
}

function checksumTrouble(grammar: LineGrammar, text: string, found: string | undefined): string | undefined {
  const kind = grammar.settings.checksum ?? 'none';
  if (kind === 'none' || found === undefined) return undefined;
  const [start, before] = grammar.settings.checksumSkips ?? [0, 0];
  const covered = Buffer.from(text.slice(start, text.lastIndexOf(found) - before), 'latin1');
  const expected = checksumText(kind, covered);
  return expected === found.toUpperCase() ? undefined : `ends with checksum ${found}, ${expected} belongs there`;
}

/** The fault that a no-value flag is told as. */
export function codeOfFlags(flags: number): GaugeFaultCode {
  if (flags & readingFlags.overRange) return 'over-range';
  if (flags & readingFlags.underRange) return 'under-range';
  return 'no-value';
}
