import { DwellmarkError, findUnit, type Unit } from '../../src/gauge/index.js';
import { unitConflict, unitInName, type WrittenUnit, writtenUnit } from './column-unit.js';

/** Pressure units as they stand in a column's name. */
const pressureNames = {
  bar: 'bar',
  Pa: 'Pa',
  kPa: 'kPa',
  MPa: 'MPa',
  psi: 'psi',
  kgfcm2: 'kgf/cm2',
  mbar: 'mbar',
} as const;
const secondsOf = { s: 1, ms: 1e-3, min: 60, us: 1e-6, h: 3600 } as const;

export type TimeColumn =
  | { readonly at: number; readonly kind: 'elapsed'; readonly secondsPerUnit: number }
  | { readonly at: number; readonly kind: 'timestamp' };
export interface UnitColumn {
  readonly at: number;
  readonly unit: Unit;
  readonly unitName: string;
  /** Read against vacuum: the ambient pressure is taken off. */
  readonly absolute: boolean;
}

/** Which cell of a row is what. */
export interface Columns {
  readonly time: TimeColumn;
  readonly pressure: UnitColumn;
  readonly opposite: UnitColumn | null;
  readonly oil: UnitColumn | null;
  /** Cells in the header row. */
  readonly count: number;
  /** Names in the header that nothing is read from. */
  readonly unused: readonly string[];
  /** What is read from what: `time_s from "Elapsed"`. */
  readonly read: readonly string[];
}

/** What a column holds; `column` is the unit as it stands in our name of the column. */
export type Role =
  | { readonly role: 'time'; readonly secondsPerUnit: number; readonly column: string }
  | { readonly role: 'timestamp' }
  | {
      readonly role: 'pressure' | 'opposite' | 'oil';
      readonly unit: Unit;
      readonly unitName: string;
      readonly column: string;
      readonly absolute: boolean;
    };

/** What a column of that name holds, or undefined: `pressure_psi`, `time_ms`, `temperature_C`, `timestamp`. */
export function roleOf(name: string): Role | undefined {
  if (name === 'timestamp') return { role: 'timestamp' };
  const [, base, unitText, abs] = /^(time|pressure|pressure_b|temperature)_([A-Za-z0-9]+?)(_abs)?$/.exec(name) ?? [];
  if (base === undefined || unitText === undefined) return undefined;
  if (abs !== undefined && !base.startsWith('pressure')) return undefined;
  if (base === 'time')
    return isKey(secondsOf, unitText)
      ? { role: 'time', secondsPerUnit: secondsOf[unitText], column: unitText }
      : undefined;
  if (base === 'temperature') {
    const unit = /^[CFK]$/.test(unitText) ? findUnit('temperature', unitText) : undefined;
    return unit && { role: 'oil', unit, unitName: unitText, column: unitText, absolute: false };
  }
  const unitName = isKey(pressureNames, unitText) ? pressureNames[unitText] : undefined;
  const unit = unitName === undefined ? undefined : findUnit('pressure', unitName);
  if (unitName === undefined || !unit) return undefined;
  const role = base === 'pressure' ? 'pressure' : 'opposite';
  return { role, unit, unitName, column: unitText, absolute: abs !== undefined };
}

const isKey = <T extends object>(table: T, key: string): key is string & keyof T => Object.hasOwn(table, key);

/**
 * Reads `time_s=Elapsed,pressure_psi=P1`: our names for the columns of someone else's file. A name with a comma or
 * an equals sign stands in double quotes.
 * @throws DwellmarkError (`usage`) naming the piece that is wrong.
 */
export function readColumnMapping(text: string): ReadonlyMap<string, string> {
  const mapping = new Map<string, string>();
  const fail = (message: string): DwellmarkError =>
    new DwellmarkError('usage', `--columns: ${message}`, {
      advice: 'Write our name = the name in the file, for example "time_s=Elapsed,pressure_psi=P1".',
    });
  for (const piece of text.match(/(?:"[^"]*"|[^,"])+/g) ?? []) {
    const equals = piece.indexOf('=');
    const ours = piece.slice(0, Math.max(0, equals)).trim();
    const theirs = piece
      .slice(equals + 1)
      .trim()
      .replace(/^"(.*)"$/, '$1');
    if (equals === -1 || theirs === '') throw fail(`"${piece.trim()}" is no pair`);
    if (!roleOf(ours)) throw fail(`"${ours}" is no column that is read; ${knownNames}`);
    if (mapping.has(ours)) throw fail(`"${ours}" stands twice`);
    mapping.set(ours, theirs);
  }
  if (mapping.size === 0) throw fail('nothing in it');
  return mapping;
}

export const knownNames =
  'known: time_s, time_ms, time_min, timestamp, pressure_bar (Pa, kPa, MPa, psi, kgfcm2; pressure_bar_abs and so on), pressure_b_bar, temperature_C (F, K)';

/**
 * Finds the columns in a header row. With a mapping only the columns it names are read.
 * Undefined when the row has no time or no pressure: then it is no header.
 * @param units what the file itself says of the units, below its names; a mapping may not contradict it.
 * @throws DwellmarkError (`input`) when two columns claim to be the same thing, or the file itself names another unit.
 */
export function findColumns(
  header: readonly string[],
  mapping: ReadonlyMap<string, string> | undefined,
  fail: (message: string, advice: string) => DwellmarkError,
  units: readonly (WrittenUnit | undefined)[] = [],
): Columns | undefined {
  const named: { name: string; at: number }[] = mapping
    ? [...mapping].map(([ours, theirs]) => ({ name: ours, at: placeOf(theirs, header) }))
    : header.map((name, at) => ({ name, at }));
  if (named.some(({ at }) => at === -1)) return undefined;
  let time: TimeColumn | undefined;
  const found: { pressure?: UnitColumn; opposite?: UnitColumn; oil?: UnitColumn } = {};
  const used = new Set<number>();
  for (const { name, at } of named) {
    const role = roleOf(name);
    if (!role) continue;
    const theirs = header[at] ?? '';
    const conflict =
      unitConflict(name, role, units[at]) ?? (theirs === name ? null : unitConflict(name, role, unitInName(theirs)));
    if (conflict !== null)
      throw fail(`the column "${theirs}" ${conflict}`, 'Name it with --columns in the unit that it has.');
    const isTime = role.role === 'time' || role.role === 'timestamp';
    if (isTime ? time !== undefined : found[role.role] !== undefined)
      throw fail(`there are two columns for the ${spokenRole(role.role)}`, 'Say with --columns which one to read.');
    used.add(at);
    if (role.role === 'time') time = { at, kind: 'elapsed', secondsPerUnit: role.secondsPerUnit };
    else if (role.role === 'timestamp') time = { at, kind: 'timestamp' };
    else found[role.role] = { at, unit: role.unit, unitName: role.unitName, absolute: role.absolute };
  }
  if (!time || !found.pressure) return undefined;
  return {
    time,
    pressure: found.pressure,
    opposite: found.opposite ?? null,
    oil: found.oil ?? null,
    count: header.length,
    unused: header.filter((name, at) => name !== '' && !used.has(at)),
    read: named.flatMap(({ name, at }) => (used.has(at) ? [`${name} from "${header[at] ?? `#${at + 1}`}"`] : [])),
  };
}

/** Where a column of somebody else's file stands: by its name, or by its number, `#2`, in a file without names. */
function placeOf(theirs: string, header: readonly string[]): number {
  const [, number] = /^#(\d+)$/.exec(theirs) ?? [];
  return number === undefined || header.includes(theirs) ? header.indexOf(theirs) : Number(number) - 1;
}

/** Whether a mapping names columns by their numbers alone: then the file has no header. */
export const isByNumber = (mapping: ReadonlyMap<string, string> | undefined): boolean =>
  mapping !== undefined && [...mapping.values()].every((theirs) => /^#[1-9]\d*$/.test(theirs));

/** The units below the names of a header, or undefined for a row that is none of units. */
export function unitsRow(cells: readonly string[]): readonly (WrittenUnit | undefined)[] | undefined {
  const units = cells.map(writtenUnit);
  const isOne = cells.some((cell) => cell !== '') && cells.every((cell, at) => /^[-–]?$/.test(cell) || units[at]);
  return isOne ? units : undefined;
}

const spokenNames: Readonly<Record<string, string>> = {
  time: 'time',
  elapsed: 'time',
  'elapsed time': 'time',
  pressure: 'pressure',
  'pressure a': 'pressure',
  'pressure b': 'pressure_b',
  temperature: 'temperature',
  'oil temperature': 'temperature',
};

/** Names over their units, `Time` over `s`, as names of ours; others stay as they are. */
export const namesOverUnits = (
  names: readonly string[],
  units: readonly (WrittenUnit | undefined)[],
): readonly string[] =>
  names.map((name, at) => {
    const base = spokenNames[name.trim().toLowerCase()];
    const unit = units[at];
    return base === undefined || unit === undefined ? name : `${base}_${unit.name}${unit.absolute ? '_abs' : ''}`;
  });

const spokenRole = (role: Role['role']): string =>
  ({ time: 'time', timestamp: 'time', pressure: 'pressure', opposite: 'pressure at port B', oil: 'oil temperature' })[
    role
  ];
