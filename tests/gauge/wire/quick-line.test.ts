import fc from 'fast-check';
import { expect, it } from 'vitest';
import { decodeLine, decodeStrictly, type LineSettings, lineGrammar } from '../../../src/gauge/index.js';

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
  '{serial} {pressure}',
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

it('3,000 lines: the quick way reads what the grammar reads, or leaves it to the grammar', () => {
  const both = settingsOf.chain((settings: LineSettings) =>
    fc.tuple(fc.constant(settings), fc.oneof({ weight: 3, arbitrary: fitted(settings.pattern) }, loose)),
  );
  let quick = 0;
  fc.assert(
    fc.property(both, ([settings, text]) => {
      const grammar = lineGrammar(settings);
      // Twice: the second time the words of the line are known.
      expect(decodeLine(grammar, text)).toEqual(decodeStrictly(grammar, text));
      expect(decodeLine(grammar, text)).toEqual(decodeStrictly(grammar, text));
      if (grammar.quick?.reads(text)) quick += 1;
    }),
    { numRuns: 3000, seed: 4 },
  );
  expect(quick).toBeGreaterThan(200);
});

it.each([
  ['{pressure} {unit}', '+0253.70 bar'],
  ['{pressure} {unit} {oil} {oil_unit}', '  250.00 bar  21.5 C'],
  ['{elapsed} s {pressure} {unit}', '12.345678 s +0250.0 BAR'],
  ['{status},{pressure}', 'ST,+ 12.5'],
])('%j has a quick way for %j', (pattern, text) => {
  expect(lineGrammar({ pattern, unit: 'bar' }).quick?.reads(text)).toBe(true);
});

const grammarsOwn: readonly [string, Omit<LineSettings, 'unit'>][] = [
  ['an expression', { pattern: '/(?<pressure>\\S+) bar/' }],
  ['a checksum', { pattern: '{pressure}{checksum}', checksum: 'xor' }],
  ['numbers that are no value', { pattern: '{pressure}', noValueNumbers: [32_767] }],
];

it.each(grammarsOwn)('%s is read by the grammar alone', (_, settings) => {
  expect(lineGrammar({ unit: 'bar', ...settings }).quick).toBeNull();
});
