import type { Role } from './columns.js';

/** A unit as other programs write it: what it measures, its name here, and whether a pressure is absolute. */
export interface WrittenUnit {
  readonly of: 'time' | 'pressure' | 'temperature';
  /** As in our names of columns: `s`, `bar`, `C`. */
  readonly name: string;
  readonly absolute: boolean;
}

const times: Readonly<Record<string, string>> = {
  us: 'us', µs: 'us', ms: 'ms', msec: 'ms', s: 's', sec: 's', secs: 's', second: 's', seconds: 's',
  min: 'min', mins: 'min', minute: 'min', minutes: 'min', h: 'h', hr: 'h', hour: 'h', hours: 'h',
}; // biome-ignore format: a table
const pressures: Readonly<Record<string, string>> = {
  bar: 'bar', mbar: 'mbar', pa: 'Pa', kpa: 'kPa', mpa: 'MPa', psi: 'psi', 'kgf/cm2': 'kgfcm2', 'kgf/cm²': 'kgfcm2', kgfcm2: 'kgfcm2', 'kg/cm2': 'kgfcm2',
}; // biome-ignore format: a table
const temperatures: Readonly<Record<string, string>> = {
  c: 'C', '°c': 'C', degc: 'C', f: 'F', '°f': 'F', degf: 'F', k: 'K',
}; // biome-ignore format: a table

/** A unit by itself, with brackets or without, or undefined: `bar`, `[psi a]`, `(s)`, `bara`, `kPa abs`. */
export function writtenUnit(text: string): WrittenUnit | undefined {
  const bare = text
    .trim()
    .replace(/^[([](.*)[)\]]$/, '$1')
    .trim()
    .toLowerCase();
  if (Object.hasOwn(times, bare)) return { of: 'time', name: times[bare] ?? '', absolute: false };
  if (Object.hasOwn(temperatures, bare)) return { of: 'temperature', name: temperatures[bare] ?? '', absolute: false };
  const [, unit = '', kind] = /^(.+?)[\s_.(-]*(abs|absolute|gauge|a|g)?\)?$/.exec(bare) ?? [];
  const plain = Object.hasOwn(pressures, bare) ? bare : unit;
  if (!Object.hasOwn(pressures, plain)) return undefined;
  const absolute = plain !== bare && (kind === 'a' || kind === 'abs' || kind === 'absolute');
  return { of: 'pressure', name: pressures[plain] ?? '', absolute };
}

/**
 * The unit that the name of a column carries: `Pressure [psi]`, `p (bar abs)`, `time_s`, `Druck bar`. A single letter counts
 * only in brackets or behind `time_`: "Sensor C" is no temperature.
 */
export function unitInName(name: string): WrittenUnit | undefined {
  const [, inBrackets] = /[([]([^()[\]]*(?:\([^()]*\))?)[)\]]\s*$/.exec(name) ?? [];
  if (inBrackets !== undefined) return writtenUnit(inBrackets);
  const [, last = ''] = /[\s_]([^\s_]+)$/.exec(name) ?? [];
  const [, lastTwo = ''] = /[\s_]([^\s_]+[\s_][^\s_]+)$/.exec(name) ?? [];
  const two = writtenUnit(lastTwo.replace('_', ' '));
  if (two) return two;
  return last.length > 1 || /^(?:elapsed|time)[\s_]/i.test(name) ? writtenUnit(last) : undefined;
}

/** Why a column that is to be read so can't be, going by the unit that the file itself gives it; or null. */
export function unitConflict(ours: string, role: Role, theirs: WrittenUnit | undefined): string | null {
  if (theirs === undefined || role.role === 'timestamp') return null;
  const of = role.role === 'time' ? 'time' : role.role === 'oil' ? 'temperature' : 'pressure';
  const said = `${theirs.name}${theirs.absolute ? ' absolute' : ''}`;
  if (theirs.of !== of || theirs.name !== role.column || theirs.absolute !== ('absolute' in role && role.absolute))
    return `is in ${said} by its own words, and ${ours} would read it otherwise`;
  return null;
}
