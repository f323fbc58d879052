import { copyFileSync, statSync, truncateSync } from 'node:fs';
import { expect } from 'vitest';
import { verifyStore } from '../../../src/audit/index.js';
import { openStore } from '../../../src/record/index.js';
import { sampleJudge } from '../../audit/sample-store.js';
import { newStore, sampleHeader, sampleReadings, sampleResult, seeded } from '../sample-test.js';

/**
 * Writes live tests, then copies the store as it lies on disk while it is open and cuts its WAL at random places: what
 * is left must always be a whole store that ends earlier.
 */
export function cutWalAtRandom(folder: string, cuts: number): void {
  const path = `${folder}/written.db`;
  const readings = sampleReadings({ seconds: 40 });
  const store = newStore(path);
  for (let test = 0; test < 3; test += 1) {
    const writer = store.beginTest(sampleHeader(store.nextTestId(2026), { origin: 'live' }));
    for (const reading of readings) writer.append({ kind: 'reading', reading });
    if (test < 2) writer.finish(sampleResult(readings.map((reading) => ({ kind: 'reading', reading }))));
  }
  const length = statSync(`${path}-wal`).size;
  expect(length).toBeGreaterThan(100_000);
  const random = seeded(3);
  const ends = new Set<number>();
  for (let cut = 0; cut < cuts; cut += 1) {
    const copy = `${folder}/cut-${cut}.db`;
    copyFileSync(path, copy);
    copyFileSync(`${path}-wal`, `${copy}-wal`);
    truncateSync(`${copy}-wal`, Math.floor(random() * length));
    ends.add(expectWhole(copy, readings));
  }
  expect(ends.size).toBeGreaterThan(Math.min(cuts / 4, 20));
  store.close();
}

/** Verifies a store and gives its number of readings. A WAL cut before its first commit leaves no store, and says so. */
function expectWhole(path: string, readings: ReturnType<typeof sampleReadings>): number {
  let store: ReturnType<typeof openStore>;
  try {
    store = openStore(path, { mode: 'write' });
  } catch (error) {
    expect(String(error)).toMatch(/not a dwellmark store/);
    return -1;
  }
  const { problems, counts } = verifyStore(store, sampleJudge);
  expect(problems).toEqual([]);
  for (const { test } of store.tests()) {
    const stored = [...store.trace(test)];
    expect(stored).toEqual(readings.slice(0, stored.length));
  }
  store.close();
  return counts.readings;
}
