import { deflateRawSync, inflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LinePacker, type RawLine } from '../../../src/record/holds/line-encoding.js';
import { rawLinesOf } from '../../../src/record/holds/trace-reader.js';
import { linkKinds } from '../../../src/record/index.js';

const packed = (lines: readonly RawLine[], packer = new LinePacker()): Uint8Array => {
  for (const line of lines) packer.add(line);
  return packer.done();
};
const unpacked = (payload: Uint8Array, kind: 5 | 7 = linkKinds.lineColumns): RawLine[] => [
  ...rawLinesOf([{ seq: 1, kind, payload }]),
];

const unpackedAll = (payloads: readonly Uint8Array[]): RawLine[] => [
  ...rawLinesOf(payloads.map((payload, index) => ({ seq: index + 1, kind: linkKinds.lineColumns, payload }))),
];

const gauge = fc.constantFrom(undefined, undefined, 'SN 40117', 'SN 7');
const line: fc.Arbitrary<RawLine> = fc
  .record({
    timeUs: fc.nat({ max: 2 ** 45 }),
    text: fc.oneof(fc.string(), fc.constantFrom('  250.00 bar  21.5 C', '----', '21,5 °C', '\n', '', '\ufeff250.0')),
    accepted: fc.boolean(),
    gauge,
  })
  .map(({ gauge, ...rest }) => (gauge === undefined ? rest : { ...rest, gauge }));

/** A second of a gauge that talks ten times a second with a jitter of a millisecond. */
const second = (from: number, count = 10): RawLine[] =>
  Array.from({ length: count }, (_, index) => ({
    timeUs: 100_000 * (from + index) + 100 * ((7 * (from + index)) % 19),
    text: `  ${(250 - (from + index) / 1e3).toFixed(2)} bar  21.5 C`,
    accepted: true,
  }));

describe('raw lines of a gauge', () => {
  it('come back as they were, link by link', () => {
    fc.assert(
      fc.property(fc.array(fc.array(line, { maxLength: 300 }), { maxLength: 3 }), (links) => {
        const packer = new LinePacker();
        const payloads = links.map((lines) => packed(lines, packer));
        expect(packer.count).toBe(0);
        expect(unpackedAll(payloads)).toEqual(links.flat());
      }),
      { numRuns: 60 },
    );
  });

  it('come back with a byte order mark before the first, and before the serial of a gauge', () => {
    const lines = [{ timeUs: 1, text: '\ufeff250.0 bar', accepted: false, gauge: '\ufeffSN 7' }];
    expect(unpacked(packed(lines))).toEqual(lines);
  });

  it('cost a quarter of their text, second by second', () => {
    const packer = new LinePacker();
    let [bytes, text] = [0, 0];
    for (let from = 0; from < 600; from += 10) {
      const lines = second(from);
      text += lines.reduce((sum, line) => sum + line.text.length, 0);
      bytes += packed(lines, packer).length;
    }
    expect(bytes).toBeLessThan(0.25 * text);
  });

  it('are gone on with by another packer where the links end', () => {
    const first = new LinePacker();
    const before = [packed(second(0), first), packed(second(10), first)];
    const after = new LinePacker();
    for (const payload of before) after.passed(payload);
    const payloads = [...before, packed(second(20), after)];
    expect(unpackedAll(payloads)).toEqual([...second(0), ...second(10), ...second(20)]);
    expect(payloads[2]).toEqual(packed(second(20), first));
  });

  it('of encoding 2, as records of before hold them, are read as they were', () => {
    const hex = 'e362e43430d436303235d6333f318b878925d84fc19c4557575777dd2c1e460e23431d5385431b9ce7f7b23133300000';
    expect(unpacked(Buffer.from(hex, 'hex'), linkKinds.packedLines)).toEqual([
      { timeUs: 5, text: '01+0253.7', accepted: true },
      { timeUs: 100_009, text: '----', accepted: false, gauge: 'SN 7' },
      { timeUs: 200_000, text: '21,5 °C', accepted: true, gauge: 'SN 7' },
      { timeUs: 150_000, text: '', accepted: true },
    ]);
  });

  it('bytes cut short, run on or made up are damage, never lines and never a hang', () => {
    const whole = inflateRawSync(packed(second(0)));
    for (let length = 0; length < whole.length; length += 1)
      expect(() => unpacked(deflateRawSync(whole.subarray(0, length)))).toThrow('a stored chunk');
    expect(() => unpacked(deflateRawSync(Buffer.concat([whole, Buffer.from('x')])))).toThrow('a stored chunk');
    expect(() => unpacked(Uint8Array.of(1, 2, 3))).toThrow('a stored chunk');
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 60 }), (bytes) => {
        try {
          unpacked(deflateRawSync(bytes));
        } catch (error) {
          expect(String(error)).toContain('a stored chunk');
        }
      }),
    );
  });
});
