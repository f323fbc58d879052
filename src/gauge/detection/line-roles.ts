import { readStatus } from '../wire/status-word.js';
import { readPressureUnit, readTemperatureUnit } from '../wire/wire-unit.js';
import type { LineToken } from './line-token.js';
import { isStill, otherNumbers } from './other-columns.js';

/** One place of a line shape, over all lines heard. */
export interface Column {
  readonly kind: LineToken['kind'];
  readonly texts: readonly string[];
  /** Every line has a blank before it. */
  readonly blankBefore: boolean;
}

export interface LineRoles {
  readonly pattern: string;
  /** Undefined when the lines carry none. */
  readonly unit: string | undefined;
  readonly oilUnit: string | undefined;
  /** The oil temperature where no place can be the pressure: the lines are those of a probe. */
  readonly measures: 'pressure' | 'oil';
  /** How it was written, line by line. */
  readonly measuredTexts: readonly string[];
  /** A word behind the value that is no unit known here, perhaps one of an absolute pressure. */
  readonly unknownUnit?: string;
  /** Every number of the line, for a person to pick the pressure from. */
  readonly columns?: readonly NumberColumn[];
  /** Why the pressure may be another of the columns. */
  readonly doubt?: string;
  /** The other way to take the same places, where neither unit nor label tells a pressure from a temperature. */
  readonly otherwise?: LineRoles;
}

/** A number of the line: what stands before it and what it was, line by line. */
export interface NumberColumn {
  readonly label: string;
  readonly texts: readonly string[];
  /** Why it is not taken for a pressure. */
  readonly other?: string;
}

/** What is known before the roles are given. */
export interface RolesWanted {
  readonly measures?: LineRoles['measures'] | undefined;
  readonly decimal: string;
  /** The number that is the pressure or the temperature, counted from 1. */
  readonly column?: number | undefined;
  /** The instrument of several whose lines these are. */
  readonly address?: string | undefined;
}

type Role = 'pressure' | 'opposite' | 'oil' | 'unit' | 'oil_unit' | 'status' | 'address' | 'skip' | 'literal';

const labels: readonly [Role, RegExp][] = [
  ['opposite', /^(?:p2|pb|p_b|b|return|tank)$/i],
  ['oil', /^(?:t|t1|temp|temperature|oil)$/i],
  ['pressure', /^(?:p|p1|pa|p_a|a|press|pressure|ch1)$/i],
];

/**
 * Decides what each place of a line is: units and labels first, then what varies. Undefined when no place can be the
 * pressure and none the temperature of a probe.
 */
export function assignRoles(columns: readonly Column[], wanted: RolesWanted): LineRoles | undefined {
  const all = columns.flatMap((column, index) => (column.kind === 'number' ? [index] : []));
  const others = otherNumbers(columns, all, (index) => labelBefore(columns, index), wanted.decimal);
  const chosen = wanted.column === undefined ? undefined : all[wanted.column - 1];
  if (wanted.column !== undefined && chosen === undefined) return undefined;
  const numbers = chosen === undefined ? all.filter((index) => !others.has(index)) : [chosen];
  const roles = rolesOfNumbers(columns, numbers, all, wanted);
  if (!roles) return undefined;
  const named = all.map((index): NumberColumn => {
    const other = others.get(index);
    const label = labelBefore(columns, index) ?? '';
    return { label, texts: columns[index]?.texts ?? [], ...(other === undefined ? {} : { other }) };
  });
  const doubt = chosen === undefined ? doubtOf(columns, numbers, roles) : undefined;
  return { ...roles, columns: named, ...(doubt === undefined ? {} : { doubt }) };
}

/** Why another number than the one taken could be the pressure. */
function doubtOf(
  columns: readonly Column[],
  numbers: readonly number[],
  { measuredTexts }: LineRoles,
): string | undefined {
  const taken = numbers.find((index) => columns[index]?.texts === measuredTexts);
  if (taken === undefined) return undefined;
  const before = columns[taken - 1];
  const beside =
    before?.kind === 'number' && numbers.includes(taken - 1) && /^[1-9]\d{0,2}$/.test(before.texts[0] ?? '');
  if (beside && measuredTexts.every((text) => /^\d{3}(?!\d)/.test(text)))
    return 'two numbers stand side by side: perhaps the thousands and the rest of one';
  const named = labelBefore(columns, taken);
  if (named !== undefined && labels.some(([role, shape]) => role === 'pressure' && shape.test(named))) return undefined;
  const likely = numbers.filter((index) => {
    const label = labelBefore(columns, index);
    const role = label && labels.find(([, shape]) => shape.test(label))?.[0];
    return !isStill(columns[index]) && role === undefined && !hasTemperatureUnit(columns, index);
  });
  return likely.length > 1 ? `${likely.length} numbers could be the pressure` : undefined;
}

const hasTemperatureUnit = (columns: readonly Column[], index: number): boolean => {
  const at = columns[index + 1]?.kind === 'blank' ? index + 2 : index + 1;
  const separated = /^[,;]$/.test(columns[at]?.texts[0] ?? '') ? at + 1 : at;
  return [at, separated].some(
    (place) => columns[place]?.kind === 'word' && isUnit(columns, place, readTemperatureUnit),
  );
};

function rolesOfNumbers(
  columns: readonly Column[],
  numbers: readonly number[],
  all: readonly number[],
  { measures: wanted, column, address }: RolesWanted,
): LineRoles | undefined {
  const roles: Role[] = columns.map((one) => roleAlone(one));
  // A word such as MAX before a number that is left out says what that number is, not how the gauge is.
  for (const index of all)
    if (!numbers.includes(index) && roles[labelAt(columns, index)] === 'status')
      roles[labelAt(columns, index)] = 'literal';
  for (const index of all) if (!numbers.includes(index) && roles[index] === 'literal') roles[index] = 'skip';
  const ofAddress = columns.findIndex(({ texts }) => address !== undefined && texts.every((text) => text === address));
  if (ofAddress !== -1) roles[ofAddress] = 'address';
  const byUnit = (read: (text: string) => string | undefined): number[] =>
    columns.flatMap((column, index) => (column.kind === 'word' && isUnit(columns, index, read) ? [index] : []));
  const pressureUnits = byUnit(readPressureUnit);
  const oilUnits = byUnit(readTemperatureUnit).filter((index) => !pressureUnits.includes(index));

  const unitOf = (at: number): string | undefined => readPressureUnit(columns[at]?.texts[0] ?? '');

  for (const index of numbers) {
    const label = labelBefore(columns, index);
    const role = label && labels.find(([, shape]) => shape.test(label))?.[0];
    if (role && !roles.includes(role)) roles[index] = role;
  }
  for (const unitAt of oilUnits) {
    const owner = numberOf(numbers, unitAt);
    if (owner === undefined || (roles.includes('oil') && roles[owner] !== 'oil')) continue;
    roles[owner] = 'oil';
    if (!roles.includes('oil_unit')) roles[unitAt] = 'oil_unit';
  }
  for (const unitAt of pressureUnits) {
    const owner = numberOf(numbers, unitAt);
    if (owner === undefined || roles[owner] === 'oil') continue;
    if (column === undefined && numberOf(all, unitAt) !== owner) continue;
    // What is said in another unit is the same pressure again, or none of the other port's.
    const sameUnit = !roles.includes('unit') || unitOf(unitAt) === unitOf(roles.indexOf('unit'));
    if (roles[owner] === 'literal' || roles[owner] === 'skip')
      roles[owner] = !roles.includes('pressure')
        ? 'pressure'
        : roles.includes('opposite') || !sameUnit
          ? 'skip'
          : 'opposite';
    if (!roles.includes('unit')) roles[unitAt] = 'unit';
  }
  if (roles.includes('pressure')) {
    // The one unit behind several numbers is that of all.
    const [only, ...more] = pressureUnits;
    if (only !== undefined && more.length === 0) roles[only] = 'unit';
    return rolesRead(columns, numbers, roles);
  }
  const degrees = oilUnits.map((unitAt) => numberOf(numbers, unitAt));
  const free = numbers.filter(
    (index) => /^(?:skip|literal)$/.test(roles[index] ?? '') && (column !== undefined || !degrees.includes(index)),
  );
  const as = (at: number | undefined, role: Role): LineRoles | undefined =>
    at === undefined ? undefined : rolesRead(columns, numbers, roles.with(at, role));
  const decimal = free.find((index) => isMeasured(columns[index]));
  if (!roles.includes('oil_unit')) {
    const labelled = roles.includes('oil') ? roles.indexOf('oil') : undefined;
    const best = decimal ?? free.at(-1);
    const gauge = as(best ?? labelled, 'pressure');
    const probe = as(labelled ?? best, 'oil');
    const told = (best !== undefined && labelled !== undefined) || gauge?.pattern.includes('{opposite}') === true;
    return eitherOf(gauge, probe, { wanted, told });
  }
  const gauge = as(decimal ?? free.findLast((index) => roles[index] === 'skip'), 'pressure');
  const probe = rolesRead(columns, numbers, roles);
  if (gauge) return eitherOf(gauge, probe, { wanted, told: true });
  // Beside a temperature a whole number that never changes is an address, or what a vented gauge shows.
  const still = as(
    free.findLast((index) => !isAddress(columns[index])),
    'pressure',
  );
  return eitherOf(probe, still, { wanted, told: still === undefined });
}

/** The wanted one, else the likelier one with the other beside it, unless the lines tell. */
function eitherOf(
  likely: LineRoles | undefined,
  other: LineRoles | undefined,
  { wanted, told }: { readonly wanted: LineRoles['measures'] | undefined; readonly told: boolean },
): LineRoles | undefined {
  if (!likely || !other) return likely;
  if (wanted !== undefined) return other.measures === wanted ? other : likely;
  return told ? likely : { ...likely, otherwise: other };
}

/** The roles with the pattern they make. */
function rolesRead(columns: readonly Column[], numbers: readonly number[], given: readonly Role[]): LineRoles {
  const roles = [...given];
  twoBeforeOneUnit(columns, numbers, roles);
  const measures = roles.includes('pressure') ? 'pressure' : 'oil';
  const unitAt = roles.indexOf('unit');
  const oilUnitAt = roles.indexOf('oil_unit');
  const first = (at: number): string => columns[at]?.texts[0] ?? '';
  return {
    pattern: columns.map((column, index) => piece(column, roles[index] ?? 'literal')).join(''),
    unit: unitAt === -1 ? undefined : readPressureUnit(first(unitAt)),
    oilUnit: oilUnitAt === -1 ? undefined : readTemperatureUnit(first(oilUnitAt)),
    ...(unitAt === -1 && measures === 'pressure' ? unknownUnitOf(columns, roles) : {}),
    measures,
    measuredTexts: columns[roles.indexOf(measures)]?.texts ?? [],
  };
}

/** The word that follows the pressure in every line. */
function unknownUnitOf(columns: readonly Column[], roles: readonly Role[]): Pick<LineRoles, 'unknownUnit'> {
  const at = roles.indexOf('pressure') + 1;
  const word = columns[columns[at]?.kind === 'blank' ? at + 1 : at];
  const [text] = word?.texts ?? [];
  return word?.kind === 'word' && text !== undefined && new Set(word.texts).size === 1 ? { unknownUnit: text } : {};
}

/** `100.0;1.5;bar`: two numbers alike before the one unit are the two ports, the first one first. */
function twoBeforeOneUnit(columns: readonly Column[], numbers: readonly number[], roles: Role[]): void {
  const at = roles.indexOf('pressure');
  const before = numbers[numbers.indexOf(at) - 1];
  if (before === undefined || roles.includes('opposite') || labelBefore(columns, at) || labelBefore(columns, before))
    return;
  if (roles[before] !== 'skip' || !isMeasured(columns[before]) || !isMeasured(columns[at])) return;
  roles[before] = 'pressure';
  roles[at] = 'opposite';
}

function roleAlone(column: Column): Role {
  const same = new Set(column.texts).size === 1;
  if (column.kind === 'number') return same && !isMeasured(column) ? 'literal' : 'skip';
  if (column.kind === 'time') return 'skip';
  if (column.kind !== 'word') return 'literal';
  const status = column.texts.every((text) => readStatus(text) !== undefined);
  if (status && (!same || (column.texts[0]?.length ?? 0) > 1)) return 'status';
  return same ? 'literal' : 'skip';
}

/** Printed with decimals: an address, a channel or a count is not. */
const isMeasured = (column: Column | undefined): boolean =>
  column?.texts.some((text) => /\d[.,]\d/.test(text)) ?? false;

/** `01`: a small number with a zero before it, as addresses are set. */
const isAddress = (column: Column | undefined): boolean =>
  column?.texts.every((text) => /^0{1,2}[1-9]\d?$/.test(text)) ?? false;

/** A unit stands for itself in every line; `C=` and `Pa=` are labels, `psi:` is a unit in a label's place. */
function isUnit(columns: readonly Column[], index: number, read: (text: string) => string | undefined): boolean {
  const texts = columns[index]?.texts ?? [];
  const isLabel = /^[=:]$/.test(columns[index + 1]?.texts[0] ?? '') && (texts[0] ?? '').length <= 2;
  return !isLabel && texts.every((text) => read(text) !== undefined);
}

/** The word before a number with nothing but `=`, `:`, a quote or blanks between; -1 when there is none. */
function labelAt(columns: readonly Column[], index: number): number {
  let at = index - 1;
  let joined = false;
  while (columns[at]?.kind === 'blank' || /^[=:"]$/.test(columns[at]?.texts[0] ?? '')) {
    joined ||= columns[at]?.kind === 'sign';
    at -= 1;
  }
  return columns[at]?.kind === 'word' && (at === index - 1 || joined) ? at : -1;
}

const labelBefore = (columns: readonly Column[], index: number): string | undefined =>
  columns[labelAt(columns, index)]?.texts[0];

/** The number a unit belongs to: the nearest before it, else the one behind it. */
const numberOf = (numbers: readonly number[], unitAt: number): number | undefined =>
  numbers.findLast((index) => index < unitAt) ?? numbers.find((index) => index > unitAt);

function piece(column: Column, role: Role): string {
  const blank = column.blankBefore ? ' ' : '';
  if (role !== 'literal') return `${blank}{${role}}`;
  if (column.kind === 'blank') return `${blank} `;
  // A brace begins a part of the pattern.
  return blank + (column.texts[0] ?? '').replace(/[{}]/, '{skip}');
}
