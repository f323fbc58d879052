import fc from 'fast-check';
import { expect, it } from 'vitest';
import { noisyBytes, readNoisy, valuesWithin } from './noisy-line.js';

it('2,000 lines of a noisy cable: every whole line is read, and nothing is invented', async () => {
  await fc.assert(
    fc.asyncProperty(noisyBytes(50), async ({ bytes, pieces }) => {
      const items = await readNoisy(pieces);
      const read = items.flatMap((item) =>
        item.kind === 'reading' && item.reading.pressurePa !== null ? [item.reading.pressurePa] : [],
      );
      const sent = valuesWithin(bytes);
      expect(read.length).toBe(sent.length);
      for (const [index, value] of sent.entries()) expect(read[index]).toBeCloseTo(value * 1e5, -1);
    }),
    { numRuns: 40 },
  );
});
