import { expect } from 'vitest';
import { verifyStore } from '../../../src/audit/index.js';
import { openStore } from '../../../src/record/index.js';
import { sampleJudge } from '../../audit/sample-store.js';
import { sampleReadings } from '../sample-test.js';

/** What a writing child said is stored: readings a test, and which tests are sealed. */
export interface Acknowledged {
  readonly readings: Map<string, number>;
  readonly sealed: Set<string>;
}

/** Takes in a child's words; a last line that was cut off is none. */
export function takeIn(said: string, known: Acknowledged): void {
  for (const line of said.split('\n').slice(0, -1)) {
    const [test = '', count = ''] = line.split(' ');
    if (count === 'sealed') known.sealed.add(test);
    else if (/^\d+$/.test(count)) known.readings.set(test, Math.max(known.readings.get(test) ?? 0, Number(count)));
  }
}

const expected = sampleReadings({ seconds: 40 });

/** The store holds everything acknowledged, exactly, and verifies. */
export function expectNothingLost(path: string, known: Acknowledged): void {
  const store = openStore(path, { mode: 'read' });
  try {
    expect(verifyStore(store, sampleJudge).problems).toEqual([]);
    for (const [test, count] of known.readings) {
      const stored = [...store.trace(test)];
      expect(stored.length).toBeGreaterThanOrEqual(count);
      expect(stored).toEqual(expected.slice(0, stored.length));
    }
    for (const test of known.sealed) expect(store.test(test).seal?.readings).toBe(400);
  } finally {
    store.close();
  }
}
