import { expect, it } from 'vitest';
import { type GaugeItem, LineReader, lineGrammar } from '../../../src/gauge/index.js';

/** The text that is kept of a line which came as these bytes. */
function kept(text: string): string | undefined {
  const reader = new LineReader(lineGrammar({ pattern: '{pressure} {unit}', unit: 'bar' }), { wholeFromStart: true });
  const items: GaugeItem[] = [];
  reader.read(0, Buffer.from(text, 'utf8').toString('latin1'), items);
  return items.find((item) => item.kind === 'line')?.text;
}

it('of a long line the first 120 letters are kept, and none of them by half', () => {
  expect(kept('x'.repeat(120))).toBe('x'.repeat(120));
  expect(kept('x'.repeat(121))).toBe(`${'x'.repeat(120)}…`);
  expect(kept(`${'x'.repeat(119)}\u{1f6e2}x`)).toBe(`${'x'.repeat(119)}…`);
  expect(kept(`${'x'.repeat(118)}\u{1f6e2}x`)).toBe(`${'x'.repeat(118)}\u{1f6e2}…`);
});

it('a line whose checksum does not agree is known as one of the gauge, a greeting is not', () => {
  const grammar = lineGrammar({ pattern: '01{pressure}{checksum}', unit: 'bar', checksum: 'xor' });
  const reader = new LineReader(grammar, { wholeFromStart: true });
  const items: GaugeItem[] = [];
  for (const [index, text] of ['01+0253.737', '01+0253.837', 'READY 1.4'].entries()) reader.read(index, text, items);
  expect(items.filter((item) => item.kind === 'line')).toMatchObject([
    { accepted: true },
    { accepted: false, known: true },
    { accepted: false },
  ]);
  expect(items.at(-1)).not.toHaveProperty('known');
});
