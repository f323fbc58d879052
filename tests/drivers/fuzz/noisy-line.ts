import fc from 'fast-check';
import { LineSplitter, type SplitSettings } from '../../../drivers/serial/index.js';
import { type GaugeItem, LineReader, lineGrammar } from '../../../src/gauge/index.js';
import { inPieces } from '../pty.js';

const longest = 64;

/** A line as a gauge sends it, and what a bad cable makes of it. */
const goodLine = fc
  .tuple(fc.integer({ min: -99_999, max: 99_999 }), fc.constantFrom(' bar\r\n', ' BAR\n', '\tbar  \r\n', ' bar \n'))
  .map(([tenths, end]) => Buffer.from(`${(tenths / 10).toFixed(1)}${end}`));
const badPiece = fc.oneof(
  goodLine.chain((line) => fc.nat(line.length).map((at) => line.subarray(0, at))),
  goodLine.chain((line) => fc.nat(line.length).map((at) => line.subarray(at))),
  goodLine.map((line) => Buffer.from(line.toString('latin1'), 'utf16le')),
  goodLine.chain((line) =>
    fc.tuple(fc.nat(line.length - 1), fc.nat(255)).map(([at, byte]) => {
      const spoilt = Buffer.from(line);
      spoilt[at] = byte;
      return spoilt;
    }),
  ),
  fc.uint8Array({ maxLength: 40 }).map((bytes) => Buffer.from(bytes)),
  fc
    .constantFrom('OL bar\r\n', '---- bar\n', '9.9E37 bar\n', '250.0 psi\n', '١٢ bar\n', '250,0 bar\n', '1e999 bar\n')
    .map((text) => Buffer.from(text)),
  fc.integer({ min: longest, max: 3 * longest }).map((length) => Buffer.alloc(length, 0x31)),
);

/** Bytes of a noisy line: about so many lines, in pieces as a port would hand them on. */
export const noisyBytes = (lines: number): fc.Arbitrary<{ bytes: Buffer; pieces: Buffer[] }> =>
  fc
    .tuple(
      fc.array(fc.oneof({ weight: 2, arbitrary: goodLine }, { weight: 3, arbitrary: badPiece }), {
        minLength: lines,
        maxLength: lines,
        size: 'max',
      }),
      fc.constantFrom(1, 2, 7, 61, 100_000),
    )
    .map(([parts, size]) => {
      const bytes = Buffer.concat(parts);
      return { bytes, pieces: inPieces(bytes, size) };
    });

const settings: SplitSettings = {
  path: '',
  baudRate: 115_200,
  dataBits: 8,
  parity: 'none',
  stopBits: 1,
  terminator: '\n',
  maxLineBytes: longest,
};

/** The very chain of the drivers that read lines, without the port. */
export async function readNoisy(pieces: readonly Buffer[]): Promise<GaugeItem[]> {
  const reader = new LineReader(lineGrammar({ pattern: '{pressure} {unit}', unit: 'bar' }));
  const items: GaugeItem[] = [];
  const splitter = new LineSplitter(settings, (text, timeUs) => reader.read(timeUs, text, items));
  let timeUs = 0;
  for (const piece of pieces) {
    timeUs += 1000;
    splitter.take(piece, timeUs);
  }
  await new Promise((resolve) => setImmediate(resolve));
  return items;
}

/** Start of text (2) and end of text (3) may stand around a line's words, as blanks may. */
const plainLine =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are sent by gauges, and made by noise.
  /^[ \t\u0002]*([+-]?) *(\d+(?:\.\d*)?|\.\d+)(e[+-]?\d{1,3})?[ \t]+bar(?:g|s|\(g\))?[ \t\u0003]*\r?$/i;

/**
 * What may be read of these bytes, by a second and plainer reading: lines between two line ends, the first one never,
 * a number with a point, blanks, and the unit.
 */
export function valuesWithin(bytes: Buffer): number[] {
  const ended = bytes.toString('latin1').split('\n').slice(0, -1);
  // Blank lines are nothing, but the first line, blank or not, is dropped.
  const first = ended.findIndex((line) => line !== '');
  return ended.slice(first + 1).flatMap((line) => {
    if (line.length > longest) return [];
    const match = plainLine.exec(line);
    if (!match) return [];
    const value = Number(`${match[1]}${match[2]}${match[3] ?? ''}`);
    // 9.9E37 stands for no value, and above 1 TPa nothing is a pressure.
    return Math.abs(value) <= 1e7 ? [value] : [];
  });
}
