import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AnswerSplitter } from '../../../drivers/ascii-poll/answer-splitter.js';
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
  const splitter = new LineSplitter(settings(terminator), ({ text }, from, to) => lines.push(text.slice(from, to)));
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
    const splitter = new LineSplitter(settings('\n'), ({ text }, from, to) => lines.push(text.slice(from, to)));
    splitter.take(Buffer.from('1.0\n2.'), 1000);
    splitter.restart();
    splitter.take(Buffer.from('5\n'), 2000);
    expect(lines).toEqual(['1.0', '5']);
  });
});

/** What the parser of the port library makes of the same pieces, by way of the splitter for answers. */
const pieces = fc.array(
  fc.array(fc.constantFrom('\r', '\n', '\r\n', 'a', '0.1', '\u00b0', '\u0000', '0123456789'), { maxLength: 12 }),
  { maxLength: 12 },
);

it('400 rows of pieces give the same lines at the same times as the parser of the port library', async () => {
  await fc.assert(
    fc.asyncProperty(pieces, fc.constantFrom('\n', '\r\n', '\r', 'a\n'), async (rows, terminator) => {
      const own: [string, number][] = [];
      const library: [string, number][] = [];
      const ours = new LineSplitter(settings(terminator), ({ text }, from, to, timeUs) =>
        own.push([text.slice(from, to), timeUs]),
      );
      const theirs = await AnswerSplitter.make(settings(terminator), (text, timeUs) => library.push([text, timeUs]));
      for (const [index, row] of rows.entries()) {
        const piece = Buffer.from(row.join(''), 'latin1');
        ours.take(piece, 5000 * index);
        theirs.take(piece, 5000 * index);
      }
      await new Promise((resolve) => setImmediate(resolve));
      expect(own).toEqual(library);
    }),
    { numRuns: 400 },
  );
});
