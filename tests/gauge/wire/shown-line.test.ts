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
