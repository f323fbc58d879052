import { type ChecksumKind, checksumText, type KnownBefore } from '../../../src/gauge/index.js';

/** What a gauge shows just now: pressure in its unit, oil in °C, and how many lines came before. */
export interface Shown {
  readonly p: number;
  readonly t: number;
  readonly i: number;
}

/** One gauge of the museum: what it sends, and what must come of it. */
export interface Exhibit {
  readonly name: string;
  /** The bytes of one line as Latin-1, line end and all. */
  readonly line: (shown: Shown) => string;
  /** Pascals a unit. */
  readonly factor: number;
  /** Digits behind the point that it sends. */
  readonly digits?: number;
  /** What one line can't tell and a person is asked for anyway: the unit of lines that carry none. */
  readonly known?: KnownBefore;
  /** What must be asked before anything is read, and the right answer. */
  readonly asks?: { readonly what: 'column' | 'address' | 'decimal' | 'unit'; readonly answer: KnownBefore };
  /** Must be refused: nothing that can be read, or an absolute pressure. */
  readonly refused?: true;
  /** The oil temperature and the other port must be read too; else nothing may be read as one. */
  readonly oil?: 'C' | 'F' | 'K';
  readonly opposite?: true;
  /** Pressure at which it stands; 253 of its unit when absent. */
  readonly about?: number;
}

const bar = 1e5;
const [psi, kgf, kPa, MPa, mbar] = [6894.757293168361, 98_066.5, 1e3, 1e6, 100];
const one = (value: number): string => value.toFixed(1);
const two = (value: number): string => value.toFixed(2);
const padded = (value: number, width: number, digits = 1): string => value.toFixed(digits).padStart(width, '0');
const signed = (value: number, width: number): string => `${value < 0 ? '-' : '+'}${padded(Math.abs(value), width)}`;
const grouped = (value: number, sign: string, point = '.'): string => {
  const [whole = '', rest = ''] = value.toFixed(1).split('.');
  return `${whole.replace(/\B(?=(\d{3})+$)/g, sign)}${point}${rest}`;
};
const summed = (kind: ChecksumKind, body: string, [start, before] = [0, 0], end = '\r\n'): string =>
  body + checksumText(kind, Buffer.from(body.slice(start, body.length - before), 'latin1')) + end;
const inBar = { known: { unit: 'bar' } } as const;
const clock = (i: number): string =>
  `08:${String(Math.floor(i / 60)).padStart(2, '0')}:${String(i % 60).padStart(2, '0')}`;

/** Shapes of lines met on gauges, invented ones with the traits of real ones. Common practice, no source. */
export const exhibits: readonly Exhibit[] = [
  // Plain.
  { name: 'number and unit', line: ({ p }) => `${one(p)} bar\r\n`, factor: bar },
  { name: 'no blank before the unit', line: ({ p }) => `${one(p)}bar\r\n`, factor: bar },
  { name: 'capital unit', line: ({ p }) => `${one(p)} BAR\r\n`, factor: bar },
  { name: 'psi', line: ({ p }) => `${one(p)} psi\n`, factor: psi, about: 3600 },
  { name: 'psig', line: ({ p }) => `${one(p)} PSIG\r\n`, factor: psi, about: 3600 },
  { name: 'MPa with three digits', line: ({ p }) => `${p.toFixed(3)} MPa\r\n`, factor: MPa, about: 25, digits: 3 },
  { name: 'kPa whole', line: ({ p }) => `${p.toFixed(0)} kPa\r\n`, factor: kPa, about: 25_300, digits: 0 },
  { name: 'kg/cm2', line: ({ p }) => `${one(p)} kg/cm2\r\n`, factor: kgf },
  { name: 'kgf/cm² in Latin-1', line: ({ p }) => `${one(p)} kgf/cm\u00b2\r\n`, factor: kgf },
  { name: 'kgf/cm² in UTF-8', line: ({ p }) => `${one(p)} kgf/cm\u00c2\u00b2\r\n`, factor: kgf },
  { name: 'N/mm2', line: ({ p }) => `${two(p)} N/mm2\r\n`, factor: MPa, about: 25, digits: 2 },
  { name: 'mmHg', line: ({ p }) => `${one(p)} mmHg\r\n`, factor: 133.3224, about: 1900 },
  { name: 'mH2O', line: ({ p }) => `${one(p)} mH2O\r\n`, factor: 9806.65, about: 258 },
  { name: 'inH2O', line: ({ p }) => `${one(p)} inH2O\r\n`, factor: 249.0889, about: 1010 },
  { name: 'bar(g)', line: ({ p }) => `${one(p)} bar(g)\r\n`, factor: bar },
  { name: 'mbar', line: ({ p }) => `${one(p)}mbar\r\n`, factor: mbar, about: 25_300 },
  { name: 'ksi', line: ({ p }) => `${two(p)} ksi\r\n`, factor: 1000 * psi, about: 3.6, digits: 2 },
  { name: 'bars', line: ({ p }) => `${one(p)} bars\r\n`, factor: bar },
  { name: 'unit in brackets', line: ({ p }) => `${one(p)} [bar]\r\n`, factor: bar },
  {
    name: 'label and decimal comma',
    line: ({ p }) => `P: ${one(p).replace('.', ',')} bar\r\n`,
    factor: bar,
  },
  { name: 'pounds a square inch, written out', line: ({ p }) => `${one(p)} lb/in2\r\n`, factor: psi, about: 3600 },
  { name: 'inHg', line: ({ p }) => `${one(p)} inHg\r\n`, factor: 3386.389, about: 75 },
  { name: 'hundredths', line: ({ p }) => `${two(p)} bar\r\n`, factor: bar, digits: 2 },
  // Padding, signs, line ends.
  { name: 'blanks before', line: ({ p }) => `${one(p).padStart(9)} bar\r\n`, factor: bar },
  { name: 'zeros before', line: ({ p }) => `${padded(p, 8)} bar\r\n`, factor: bar },
  { name: 'a sign', line: ({ p }) => `${signed(p, 7)} bar\r\n`, factor: bar },
  { name: 'a sign and a blank', line: ({ p }) => `+ ${padded(p, 6)} bar\r\n`, factor: bar },
  { name: 'carriage returns alone', line: ({ p }) => `${one(p)} bar\r`, factor: bar },
  { name: 'line feed, then carriage return', line: ({ p }) => `${one(p)} bar\n\r`, factor: bar },
  { name: 'blank lines between', line: ({ p }) => `${one(p)} bar\r\n\r\n`, factor: bar },
  { name: 'start and end of text, no line end', line: ({ p }) => `\u0002${one(p)} bar\u0003`, factor: bar },
  { name: 'start and end of text with line end', line: ({ p }) => `\u0002${one(p)} bar\u0003\r\n`, factor: bar },
  { name: 'a blank at the end', line: ({ p }) => `${one(p)} bar \r\n`, factor: bar },
  { name: 'tabs', line: ({ p, t }) => `${one(p)}\tbar\t${one(t)}\tC\r\n`, factor: bar, oil: 'C' },
  { name: 'an exponent', line: ({ p }) => `${p.toExponential(4)} bar\r\n`, factor: bar, digits: 2 },
  // Decimal comma, thousands.
  { name: 'decimal comma', line: ({ p }) => `${one(p).replace('.', ',')} bar\r\n`, factor: bar },
  {
    name: 'comma and semicolons',
    line: ({ p, t }) => `${one(p)};bar;${one(t)};C\r\n`.replaceAll('.', ','),
    factor: bar,
    oil: 'C',
  },
  { name: 'commas part thousands', line: ({ p }) => `${grouped(p, ',')} kPa\r\n`, factor: kPa, about: 12_341 },
  { name: 'points part thousands', line: ({ p }) => `${grouped(p, '.', ',')} kPa\r\n`, factor: kPa, about: 12_341 },
  { name: 'apostrophes part thousands', line: ({ p }) => `${grouped(p, "'")} kPa\r\n`, factor: kPa, about: 12_341 },
  {
    name: 'a comma before three digits',
    line: ({ p }) => `${p.toFixed(3).replace('.', ',')} MPa\r\n`,
    factor: MPa,
    about: 25,
    digits: 3,
    asks: { what: 'decimal', answer: { decimal: ',' } },
  },
  // Labels and columns.
  { name: 'P=', line: ({ p }) => `P=${one(p)} bar\r\n`, factor: bar },
  { name: 'P= and T=', line: ({ p, t }) => `P=${one(p)} bar T=${one(t)} C\r\n`, factor: bar, oil: 'C' },
  { name: 'T= before P=', line: ({ p, t }) => `T=${one(t)} C P=${one(p)} bar\r\n`, factor: bar, oil: 'C' },
  { name: 'pressure with a word', line: ({ p }) => `Pressure: ${one(p)} bar\r\n`, factor: bar },
  { name: 'the unit in front', line: ({ p }) => `bar: ${one(p)}\r\n`, factor: bar },
  {
    name: 'value and oil in Fahrenheit',
    line: ({ p, t }) => `${one(p)} psi ${one(t)} F\r\n`,
    factor: psi,
    about: 3600,
    oil: 'F',
  },
  {
    name: 'both ports, labelled',
    line: ({ p }) => `PA=${one(p)} PB=${one(p / 100)} bar\r\n`,
    factor: bar,
    opposite: true,
  },
  { name: 'largest value behind', line: ({ p }) => `${one(p)} bar MAX ${one(261.3)} bar\r\n`, factor: bar },
  {
    name: 'largest and smallest behind',
    line: ({ p }) => `P ${one(p)} MAX ${one(261.3)} MIN ${one(0.2)} bar\r\n`,
    factor: bar,
  },
  { name: 'largest value before', line: ({ p }) => `MAX=${one(261.3)} P=${one(p)} bar\r\n`, factor: bar },
  { name: 'seconds before', line: ({ p, i }) => `${one(i / 10)} s ${one(p)} bar\r\n`, factor: bar },
  { name: 'seconds without a unit before', line: ({ p, i }) => `${two(i / 10)};${one(p)};bar\r\n`, factor: bar },
  { name: 'milliseconds before', line: ({ p, i }) => `${12_000 + 100 * i},${one(p)},bar\r\n`, factor: bar },
  { name: 'a count before', line: ({ p, i }) => `${100 + i} ${one(p)} bar\r\n`, factor: bar },
  { name: 'time of day before', line: ({ p, i }) => `${clock(i)} ${one(p)} bar\r\n`, factor: bar },
  { name: 'date and time before', line: ({ p, i }) => `2026-03-14 ${clock(i)};${one(p)};bar\r\n`, factor: bar },
  { name: 'ISO date before', line: ({ p, i }) => `2026-03-14T${clock(i)}Z,${one(p)},bar\r\n`, factor: bar },
  { name: 'battery behind', line: ({ p }) => `${one(p)} bar BAT ${two(3.71)} V\r\n`, factor: bar },
  { name: 'battery in percent behind', line: ({ p, i }) => `${one(p)} bar ${87 - (i % 2)} %\r\n`, factor: bar },
  {
    name: 'current of the sensor behind',
    line: ({ p }) => `${one(p)} bar ${(4 + p / 25).toFixed(3)} mA\r\n`,
    factor: bar,
  },
  { name: 'status word before', line: ({ p }) => `ST,GS,${one(p)},bar\r\n`, factor: bar },
  { name: 'status word behind', line: ({ p }) => `${one(p)} bar OK\r\n`, factor: bar },
  { name: 'in brackets', line: ({ p }) => `[${one(p)} bar]\r\n`, factor: bar },
  { name: 'quoted cells', line: ({ p }) => `"${one(p)}","bar"\r\n`, factor: bar },
  { name: 'JSON', line: ({ p }) => `{"pressure":${one(p)},"unit":"bar"}\r\n`, factor: bar },
  {
    name: 'JSON with the time',
    line: ({ p, i, t }) => `{"time":${i},"p":${one(p)},"unit":"bar","temp":${one(t)}}\r\n`,
    factor: bar,
    oil: 'C',
  },
  { name: 'a serial number before', line: ({ p }) => `SN40117 ${one(p)} bar\r\n`, factor: bar },
  { name: 'an address before', line: ({ p }) => `01 ${one(p)} bar\r\n`, factor: bar },
  { name: 'a prompt before', line: ({ p }) => `>${one(p)} bar\r\n`, factor: bar },
  // No unit in the lines: it is told.
  { name: 'a bare number', line: ({ p }) => `${one(p)}\r\n`, factor: bar, ...inBar },
  { name: 'a bare number, seconds before', line: ({ p, i }) => `${one(i / 10)},${one(p)}\r\n`, factor: bar, ...inBar },
  { name: 'a bare number with a sign and zeros', line: ({ p }) => `${signed(p, 7)}\r`, factor: bar, ...inBar },
  {
    name: 'temperature behind a bare number',
    line: ({ p, t }) => `${one(p)} ${one(t)} C\r\n`,
    factor: bar,
    oil: 'C',
    ...inBar,
  },
  // Checksums.
  { name: 'exclusive or, at once', line: ({ p }) => summed('xor', `01${signed(p, 6)}`), factor: bar, ...inBar },
  {
    name: 'exclusive or behind a star, dollar in front',
    line: ({ p }) => summed('xor', `$P,${one(p)},bar*`, [1, 1]),
    factor: bar,
  },
  { name: 'exclusive or behind a star', line: ({ p }) => summed('xor', `${one(p)} bar*`, [0, 1]), factor: bar },
  { name: 'sum behind a blank', line: ({ p }) => summed('sum', `${one(p)} bar `), factor: bar },
  { name: 'sum behind start of text', line: ({ p }) => summed('sum', `\u0002${one(p)} bar `, [1, 0]), factor: bar },
  {
    name: "two's complement behind a comma",
    line: ({ p }) => summed('twos-complement', `#01,${one(p)},bar,`),
    factor: bar,
  },
  { name: 'CRC behind a star', line: ({ p }) => summed('crc16', `${one(p)},bar*`, [0, 1]), factor: bar },
  {
    name: 'a star and what agrees with nothing',
    line: ({ p, i }) => `${one(p)} bar*${((i * 0x6b + 0x4f) & 0xff).toString(16).toUpperCase().padStart(2, '0')}\r\n`,
    factor: bar,
  },
  // What must be asked or refused.
  {
    name: 'two instruments by number',
    line: ({ p, i }) => `0${1 + (i % 2)} ${one(i % 2 ? 3.1 : p)} bar\r\n`,
    factor: bar,
    asks: { what: 'address', answer: { address: '01' } },
  },
  {
    name: 'three instruments by letter',
    line: ({ p, i }) => `${'ABC'[i % 3]}: ${one(i % 3 ? 3.1 * (i % 3) : p)} bar\r\n`,
    factor: bar,
    asks: { what: 'address', answer: { address: 'A' } },
  },
  {
    name: 'two numbers before one unit',
    line: ({ p, i }) => `${one(p)} ${one(p + 8 + (i % 3))} bar\r\n`,
    factor: bar,
    known: { unit: 'bar' },
    asks: { what: 'column', answer: { column: 1, unit: 'bar' } },
  },
  {
    name: 'an address and commas between cells',
    line: ({ p }) => `1,${one(p)},bar\r\n`,
    factor: bar,
    asks: { what: 'decimal', answer: { pattern: '1,{pressure},{unit}' } },
  },
  {
    name: 'blanks part thousands',
    line: ({ p }) => `${grouped(p, ' ')} kPa\r\n`,
    factor: kPa,
    about: 12_341,
    asks: { what: 'column', answer: { thousands: ' ' } },
  },
  {
    name: 'a unit that is known to none',
    line: ({ p }) => `${one(p)} ftSW\r\n`,
    factor: psi,
    asks: { what: 'unit', answer: { unit: 'psi' } },
  },
  { name: 'absolute pressure', line: ({ p }) => `${one(p)} psia\r\n`, factor: psi, about: 3600, refused: true },
  { name: 'words', line: ({ i }) => `${['READY', 'WAIT', 'HOLD'][i % 3]}\r\n`, factor: bar, refused: true },
  // A digit that names a channel, a value said twice, values that somebody set.
  {
    name: 'both ports by number, and their difference',
    line: ({ p }) => `P1 ${one(p)} P2 ${one(p / 100)} dP ${one(p - p / 100)} bar\r\n`,
    factor: bar,
    opposite: true,
  },
  {
    name: 'the same in two units',
    line: ({ p }) => `${one(p)} bar / ${(p * 14.5037738).toFixed(0)} psi\r\n`,
    factor: bar,
    asks: { what: 'column', answer: { column: 1 } },
  },
  { name: 'set points before', line: ({ p }) => `SP1 100.0 SP2 400.0 PV ${one(p)} bar\r\n`, factor: bar },
  {
    name: 'a date with points, decimal commas',
    line: ({ p, t, i }) =>
      `14.03.2026 ${clock(i)};${one(p).replace('.', ',')};bar;${one(t).replace('.', ',')};\u00b0C\r\n`,
    factor: bar,
    oil: 'C',
  },
  { name: 'seconds since 1970 before', line: ({ p, i }) => `${1_785_000_000 + i},${one(p)},bar\r\n`, factor: bar },
  {
    name: 'a count in sixteens before',
    line: ({ p, i }) => `#${i.toString(16).toUpperCase().padStart(4, '0')} ${one(p)} bar\r\n`,
    factor: bar,
  },
  { name: 'a peak that is held, behind', line: ({ p }) => `${one(p)} bar PK 290.4 bar\r\n`, factor: bar },
  { name: 'share of the range before', line: ({ p }) => `${two(p / 4)} % ${one(p)} bar\r\n`, factor: bar },
  { name: 'names and semicolons', line: ({ p }) => `ID=77;PRES=${one(p)};UNIT=bar;BAT=3.61\r\n`, factor: bar },
  { name: 'kg/cm2G', line: ({ p }) => `${one(p)} kg/cm2G\r\n`, factor: kgf },
];
