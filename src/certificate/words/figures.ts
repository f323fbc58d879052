import {
  decimalsFor,
  formatIn,
  formatNumber,
  formatSignificant,
  pressureDecimals,
  shownUnit,
  spell,
  type UnitSystem,
  valueIn,
} from '../../units/index.js';
import type { Words } from './words.js';

const gap = '\u00a0';

/** Figures as this reader's language and units write them: decimal comma, customer's units, no-break before a unit. */
export interface Figures {
  readonly units: UnitSystem;
  /** Puts the decimal sign of the language into a formatted figure. */
  local(figure: string): string;
  /** A level of pressure with its unit, `250.0 bar`. */
  pressure(pa: number): string;
  /** A figure of pressure alone, with fixed decimals. */
  pressureFigure(pa: number, decimals: number): string;
  /** A pressure difference to three digits with its unit. */
  difference(pa: number): string;
  /** The same without zeros that carry nothing: the step of a gauge, a limit as its author wrote it. */
  plainDifference(pa: number): string;
  flow(m3PerS: number): string;
  volume(m3: number): string;
  temperature(kelvin: number): string;
  length(metres: number): string;
  /** A text of the core with its `{pressure:…}` marks written out, a figure beside its uncertainty as in the table. */
  spelled(text: string): string;
  /** `14 Mar 2026` of an ISO date or time. */
  date(iso: string): string;
  /** `14 Mar 2026, 10:42 (UTC+01:00)`, the wall clock as it was written down. */
  moment(iso: string): string;
}

export function figuresOf(words: Words, units: UnitSystem): Figures {
  const comma = words.say('format.decimal');
  const local = (figure: string): string => (comma === '.' ? figure : figure.replace(/(?<=\d)\.(?=\d)/g, comma));
  const significant = (si: number, dimension: 'pressure-difference' | 'flow', unit: string): string =>
    local(`${formatSignificant(valueIn(si, dimension, unit), 3)}${gap}${shownUnit(unit)}`);
  const plain = (si: number, dimension: 'pressure-difference' | 'flow' | 'volume', unit: string): string =>
    local(`${Number(valueIn(si, dimension, unit).toPrecision(3))}${gap}${shownUnit(unit)}`);
  const date = (iso: string): string => dateWords(iso, words);
  return {
    units,
    local,
    date,
    pressure: (pa) =>
      local(
        formatIn(pa, 'pressure', units.pressure, pressureDecimals(units.pressure)) + gap + shownUnit(units.pressure),
      ),
    pressureFigure: (pa, decimals) => local(formatIn(pa, 'pressure-difference', units.pressure, decimals)),
    difference: (pa) => significant(pa, 'pressure-difference', units.pressure),
    plainDifference: (pa) => plain(pa, 'pressure-difference', units.pressure),
    flow: (m3PerS) => plain(m3PerS, 'flow', units.flow),
    volume: (m3) => plain(m3, 'volume', units.volume),
    temperature: (kelvin) =>
      local(formatIn(kelvin, 'temperature', units.temperature, 1) + gap + shownUnit(units.temperature)),
    length: (metres) => {
      const value = valueIn(metres, 'length', units.length);
      const decimals = units.length === 'in' ? 3 : 1;
      return local(formatNumber(value, decimals).replace(/\.?0+$/, ''));
    },
    spelled: (text) => text.replace(/\{[a-z]+:[^}]+\}(?: ± \{[a-z]+:[^}]+\})?/g, (mark) => local(spell(mark, units))),
    moment: (iso) => {
      const time = /T(\d{2}:\d{2})(?::\d{2}(?:\.\d+)?)?(Z|[+-]\d{2}:\d{2})?/.exec(iso);
      if (!time) return date(iso);
      const zone =
        time[2] === undefined
          ? ''
          : ` (UTC${time[2] === 'Z' || time[2] === '+00:00' ? '' : time[2].replace('-', '−')})`;
      return `${date(iso)}, ${time[1]}${zone}`.replaceAll(' ', gap).replace(`,${gap}`, ', ');
    },
  };
}

/** A figure and its uncertainty with as many decimals as the uncertainty has meaning. */
export const decimalsOf = (expandedU: number, units: UnitSystem): number =>
  Math.min(4, decimalsFor(valueIn(expandedU, 'pressure-difference', units.pressure)));

export { formatNumber };

function dateWords(iso: string, words: Words): string {
  const parts = /^(\d{4})-(\d{2})-(\d{2})/.exec(iso);
  if (!parts) return iso;
  const month = words.say('format.months').split(' ')[Number(parts[2]) - 1] ?? String(parts[2]);
  const day = String(Number(parts[3]));
  return words.say('format.date', { day, month, year: String(parts[1]) }).replaceAll(' ', gap);
}
