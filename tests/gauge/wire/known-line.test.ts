import fc from 'fast-check';
import { expect, it } from 'vitest';
import {
  decodeLine,
  type GaugeItem,
  KnownLine,
  LineReader,
  type LineSettings,
  lineGrammar,
} from '../../../src/gauge/index.js';

const templates = [
  '{pressure}',
  '{pressure} {unit}',
  '{pressure}{unit}',
  'P={pressure}',
  '{elapsed} s {pressure} {unit} {oil} {oil_unit}',
  'A{skip};{status};{pressure};{opposite};{unit} ;{oil}',
  '{status} {pressure}, {oil}C',
  '{pressure}5',
  ' {pressure} e {skip}',
  'P1={pressure} {unit}',
  '{pressure} {skip}{opposite}',
  '{status}{pressure}',
  '{oil} {oil_unit}',
] as const;

const settingsOf = fc.record({
  pattern: fc.constantFrom(...templates),
  unit: fc.constantFrom('bar', 'psi', 'kgf/cm2'),
  decimal: fc.constantFrom('.' as const, ',' as const),
  oilUnit: fc.constantFrom('C', 'F'),
});

const number = fc.oneof(
  { weight: 6, arbitrary: fc.integer({ min: -99_999, max: 99_999 }).map((tenths) => (tenths / 10).toFixed(1)) },
  fc.tuple(fc.integer({ min: -99_999, max: 99_999 }), fc.nat(4)).map(([value, places]) => value.toFixed(places)),
  fc.double({ noNaN: true, min: -1e6, max: 1e6 }).map((value) => value.toFixed(3)),
  fc.constantFrom('0', '-0.0', '+ 0253.70', '12.', '.5', '1e3', '12.3.4', 'OL', '----', '9.9E37', '1,5', '-  7'),
  fc.constantFrom('999999999999999', '9999999999999999', '0.000000000000001', '123456789012.3456', ''),
);
const word = fc.constantFrom('bar', 'BAR', 'bar(g)', 'psi', 'kg/cm²', 'bara', 'C', '°C', 'F', 'OK', 'HOLD', 'ZERO', '');
const glue = fc.constantFrom(
  '',
  ' ',
  '  ',
  '\t',
  ', ',
  ';',
  'P=',
  'p=',
  's',
  ' e ',
  'A',
  '5',
  '\u00a0',
  '\r',
  '\u0001',
);

/** A line that fits the template nearly always, or a row of pieces that hardly ever does. */
const fitted = (pattern: string): fc.Arbitrary<string> =>
  fc
    .tuple(...pattern.split(/(\{[^}]*\})/).map((piece) => partText(piece)), fc.constantFrom('', ' ', '\t '))
    .map((parts) => parts.join(''));
const partText = (piece: string): fc.Arbitrary<string> => {
  if (/^\{(pressure|opposite|oil|elapsed)\}$/.test(piece))
    return fc.tuple(fc.constantFrom('', ' '), number).map((two) => two.join(''));
  if (piece === '{unit}') return fc.oneof({ weight: 3, arbitrary: fc.constantFrom('bar', 'psi', 'kg/cm2') }, word);
  if (piece.startsWith('{')) return fc.oneof(fc.constantFrom('C', 'F', 'ok', '0'), word);
  return fc.constantFrom(piece, piece.toUpperCase(), piece.replace(' ', ' \t '));
};
const loose = fc.array(fc.oneof(number, word, glue), { maxLength: 8 }).map((parts) => parts.join(''));

/** The line with some of its digits changed, and now and then another letter. */
const changed = (text: string): fc.Arbitrary<string> =>
  fc
    .tuple(fc.array(fc.nat(9), { minLength: text.length, maxLength: text.length }), fc.nat(200), number)
    .map(([digits, at, other]) => {
      const line = text.replace(/\d/g, (_, index: number) => String(digits[index]));
      return at < 20 ? line.slice(0, at) + other.slice(0, 1) + line.slice(at + 1) : line;
    });

/** What a reader hands out for lines, the first of which it keeps as raw text only. */
function itemsOf(settings: LineSettings, lines: readonly string[]): GaugeItem[] {
  const items: GaugeItem[] = [];
  const reader = new LineReader(lineGrammar(settings));
  for (const [index, text] of ['start', ...lines].entries()) reader.read(index, text, items);
  return items;
}

it('3,000 lines: one like the line before is read as the grammar reads it', () => {
  const lines = settingsOf.chain((settings: LineSettings) =>
    fc
      .oneof({ weight: 3, arbitrary: fitted(settings.pattern) }, loose)
      .chain((first) => fc.tuple(fc.constant(settings), fc.constant(first), changed(first))),
  );
  let quick = 0;
  fc.assert(
    fc.property(lines, ([settings, first, second]) => {
      const grammar = lineGrammar(settings);
      const line = decodeLine(grammar, second);
      const ofSecond = (before: readonly string[]) =>
        withoutFaults([...before, second]).slice(withoutFaults(before).length);
      const withoutFaults = (all: readonly string[]) =>
        itemsOf(settings, all).flatMap((item) =>
          item.kind === 'fault' ? [] : [item.kind === 'line' ? item.text : { ...item.reading, timeUs: 0 }],
        );
      expect(ofSecond([first])).toEqual(ofSecond([]));
      const known = KnownLine.of(grammar);
      const learnt = decodeLine(grammar, first);
      if (!known || !learnt.ok || learnt.flags !== 0 || learnt.trouble.length > 0) return;
      known.learn(first);
      if (!known.reads(second)) return;
      quick += 1;
      expect(line).toMatchObject({ ok: true, flags: 0, trouble: [], serial: null });
    }),
    { numRuns: 3000, seed: 4 },
  );
  expect(quick).toBeGreaterThan(200);
});

it.each([
  ['{pressure} {unit}', '+0253.70 bar', '+1999.99 bar'],
  ['{pressure} {unit} {oil} {oil_unit}', '  250.00 bar  21.5 C', '  249.97 bar  21.6 C'],
  ['{elapsed} s {pressure} {unit}', '12.345678 s -0250.0 BAR\r', '12.445678 s -0249.9 BAR\r'],
  ['{status},{pressure}', 'ST,+ 12.5', 'ST,+ 13.4'],
  ['P1={pressure}', 'P1=12', 'P1=98'],
])('%j knows %j and reads %j by it', (pattern, first, second) => {
  const known = KnownLine.of(lineGrammar({ pattern, unit: 'bar' }));
  known?.learn(first);
  expect(known?.reads(second)).toBe(true);
});

it('blanks at the end of the known line count: they tell where its numbers stand', () => {
  const lines = ['+ 59 -98.8 ', '+ 22 -98.8 '];
  const last = itemsOf({ pattern: '{oil}{pressure} {skip}', unit: 'bar' }, lines).at(-1);
  expect(last).toMatchObject({ reading: { pressurePa: -9_880_000, oilK: 295.15 } });
});

it.each([
  ['another length', '250.0 bar', '1250.0 bar'],
  ['another unit', '250.0 bar', '250.0 psi'],
  ['another sign', '+250.0 bar', '-250.0 bar'],
  ['a decimal comma', '250.0 bar', '250,0 bar'],
  ['a letter among the digits', '250.0 bar', '2x0.0 bar'],
  ['a blank at the end', '250.0 bar', '250.0 bar '],
])('a line with %s is not like the known one', (_, first, second) => {
  const known = KnownLine.of(lineGrammar({ pattern: '{pressure} {unit}', unit: 'bar' }));
  known?.learn(first);
  expect(known?.reads(first)).toBe(true);
  expect(known?.reads(second)).toBe(false);
});

const grammarsOwn: readonly [string, Omit<LineSettings, 'unit'>][] = [
  ['an expression', { pattern: '/(?<pressure>\\S+) bar/' }],
  ['a checksum', { pattern: '{pressure}{checksum}', checksum: 'xor' }],
  ['numbers that are no value', { pattern: '{pressure}', noValueNumbers: [32_767] }],
  ['a serial', { pattern: '{serial} {pressure}' }],
  ['a digit behind a number', { pattern: '{pressure}5' }],
  ['a unit before a number', { pattern: '{unit}{pressure}' }],
];

it.each(grammarsOwn)('%s is read by the grammar alone', (_, settings) => {
  expect(KnownLine.of(lineGrammar({ unit: 'bar', ...settings }))).toBeNull();
});
