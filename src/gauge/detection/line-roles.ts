import { readStatus } from '../wire/status-word.js';
import { readPressureUnit, readTemperatureUnit } from '../wire/wire-unit.js';
import type { LineToken } from './line-token.js';

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
  /** The other way to take the same places, where neither unit nor label tells a pressure from a temperature. */
  readonly otherwise?: LineRoles;
}

type Role = 'pressure' | 'opposite' | 'oil' | 'unit' | 'oil_unit' | 'status' | 'skip' | 'literal';

const labels: readonly [Role, RegExp][] = [
  ['opposite', /^(?:p2|pb|p_b|b|return|tank)$/i],
  ['oil', /^(?:t|t1|temp|temperature|oil)$/i],
  ['pressure', /^(?:p|p1|pa|p_a|a|press|pressure|ch1)$/i],
];

/**
 * Decides what each place of a line is: units and labels first, then what varies. Undefined when no place can be the
 * pressure and none the temperature of a probe.
 * @param wanted what the instrument is known to measure.
 */
export function assignRoles(columns: readonly Column[], wanted?: LineRoles['measures']): LineRoles | undefined {
  const roles: Role[] = columns.map((column) => roleAlone(column));
  const numbers = columns.flatMap((column, index) => (column.kind === 'number' ? [index] : []));
  const byUnit = (read: (text: string) => string | undefined): number[] =>
    columns.flatMap((column, index) => (column.kind === 'word' && isUnit(columns, index, read) ? [index] : []));
  const pressureUnits = byUnit(readPressureUnit);
  const oilUnits = byUnit(readTemperatureUnit).filter((index) => !pressureUnits.includes(index));

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
    if (roles[owner] === 'literal' || roles[owner] === 'skip')
      roles[owner] = roles.includes('pressure') ? (roles.includes('opposite') ? 'skip' : 'opposite') : 'pressure';
    if (!roles.includes('unit')) roles[unitAt] = 'unit';
  }
  if (roles.includes('pressure')) return rolesRead(columns, numbers, roles);
  const degrees = oilUnits.map((unitAt) => numberOf(numbers, unitAt));
  const free = numbers.filter((index) => /^(?:skip|literal)$/.test(roles[index] ?? '') && !degrees.includes(index));
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

/** The word before a number with nothing but `=`, `:` or blanks between. */
function labelBefore(columns: readonly Column[], index: number): string | undefined {
  let at = index - 1;
  let joined = false;
  while (columns[at]?.kind === 'blank' || /^[=:]$/.test(columns[at]?.texts[0] ?? '')) {
    joined ||= columns[at]?.kind === 'sign';
    at -= 1;
  }
  const word = columns[at];
  const touches = at === index - 1 || joined;
  return word?.kind === 'word' && touches ? word.texts[0] : undefined;
}

/** The number a unit belongs to: the nearest before it, else the one behind it. */
const numberOf = (numbers: readonly number[], unitAt: number): number | undefined =>
  numbers.findLast((index) => index < unitAt) ?? numbers.find((index) => index > unitAt);

function piece(column: Column, role: Role): string {
  const blank = column.blankBefore ? ' ' : '';
  if (role !== 'literal') return `${blank}{${role}}`;
  return blank + (column.kind === 'blank' ? ' ' : (column.texts[0] ?? ''));
}
