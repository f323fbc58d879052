import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LineSplitter, type SplitSettings } from '../../../drivers/serial/index.js';
import { cutMark } from '../../../src/gauge/index.js';

const settings = (terminator: string, maxLineBytes = 16): SplitSettings => ({
  path: '',
  baudRate: 9600,
  dataBits: 8,
  parity: 'none',
  stopBits: 1,
  terminator,
  maxLineBytes,
});

function linesOf(pieces: readonly string[], terminator = '\n'): string[] {
  const lines: string[] = [];
  const splitter = new LineSplitter(settings(terminator), (text) => void lines.push(text));
  for (const [index, piece] of pieces.entries()) splitter.take(Buffer.from(piece, 'latin1'), 1000 * index);
  return lines;
}

describe('bytes into lines', () => {
  it('splits on the terminator and nothing else, wherever the pieces end', () => {
    expect(linesOf(['1.0 ba', 'r\r', '\n2.0 bar\r\n3.', '0'], '\r\n')).toEqual(['1.0 bar', '2.0 bar']);
  });

  it('gives no empty line', () => expect(linesOf(['\n\n1\n\n'])).toEqual(['1']));

  it('cuts a line that is too long, marks it, and goes on with the next', () => {
    const long = '7'.repeat(10);
    expect(linesOf([long, long, long, '\n1\n'])).toEqual([`${'7'.repeat(16)}${cutMark}`, '1']);
    expect(linesOf([`${long}${long}\n1\n`])).toEqual([`${'7'.repeat(16)}${cutMark}`, '1']);
  });

  it('forgets the line under way when it starts again', () => {
    const lines: string[] = [];
    const splitter = new LineSplitter(settings('\n'), (text) => void lines.push(text));
    splitter.take(Buffer.from('1.0\n2.'), 1000);
    splitter.restart();
    splitter.take(Buffer.from('5\n'), 2000);
    expect(lines).toEqual(['1.0', '5']);
  });
});

const rows = fc.array(
  fc.array(fc.constantFrom('\r', '\n', '\r\n', 'a', '0.1', '\u00b0', '\u0000', '0123456789'), { maxLength: 12 }),
  { maxLength: 12 },
);

it('400 rows of pieces give the lines of the whole text, each at a later time than the one before', async () => {
  await fc.assert(
    fc.asyncProperty(rows, fc.constantFrom('\n', '\r\n', '\r', 'a\n'), async (row, terminator) => {
      const read: string[] = [];
      const timesUs: number[] = [];
      const splitter = new LineSplitter(settings(terminator), (text, timeUs) => {
        read.push(text);
        timesUs.push(timeUs);
      });
      const pieces = row.map((piece) => piece.join(''));
      for (const [index, piece] of pieces.entries()) splitter.take(Buffer.from(piece, 'latin1'), 5000 * index);
      await new Promise((resolve) => setImmediate(resolve));
      const whole = pieces.join('').split(terminator).slice(0, -1);
      const cut = whole.map((line) => (line.length > 16 ? `${line.slice(0, 16)}${cutMark}` : line));
      expect(read).toEqual(cut.filter((line) => line !== ''));
      expect(timesUs.every((time, index) => time > (timesUs[index - 1] ?? -1))).toBe(true);
    }),
    { numRuns: 400 },
  );
});
