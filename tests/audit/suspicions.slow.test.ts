import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { suspicions } from '../../src/audit/suspicions/index.js';
import { scratchFolder } from '../record/sample-test.js';
import { plantForgeries } from './forgeries.js';

describe('a store of 2,000 tests with 20 planted forgeries', () => {
  it('all are found, and at most 5 innocent tests are flagged', () => {
    const planted = plantForgeries(join(scratchFolder(), 'forged.db'), { tests: 2000, seconds: 120 });
    const before = performance.now();
    const found = suspicions(planted.store);
    const seconds = (performance.now() - before) / 1000;
    planted.store.close();
    const missed = planted.forgeries.filter(
      ({ kinds, test }) => !found.some((one) => kinds.includes(one.kind) && one.tests.includes(test)),
    );
    expect(missed).toEqual([]);
    const flagged = new Set(found.flatMap(({ tests }) => tests));
    const innocent = [...flagged].filter((test) => !planted.involved.has(test));
    console.error(`${found.length} suspicions, ${innocent.length} innocent tests flagged, ${seconds.toFixed(1)} s`);
    expect(innocent.length, innocent.join(', ')).toBeLessThanOrEqual(5);
  });
});
