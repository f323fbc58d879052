import { closeSync, openSync, readFileSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import Database from 'better-sqlite3';
import { verifyStore } from '../../src/audit/index.js';
import { canonicalJson, openStore } from '../../src/record/index.js';
import { sampleJudge, smallStore } from './sample-store.js';

/** What single-byte changes over a store's file came to. */
export interface AttackOutcome {
  readonly tried: number;
  /** A stored fact reads otherwise, or not at all, and verify says so. */
  readonly found: number;
  /** Nothing a person can read has changed, and verify is silent: free bytes, counters, layout. */
  readonly harmless: number;
  /** Verify complains though every fact reads as before: an index, a free list, a quick-look figure. */
  readonly strict: number;
  /** Offsets where a fact reads otherwise and verify is silent. There must be none. */
  readonly missed: readonly number[];
}

/** A small store in one file, with no WAL beside it. */
export function attackedStore(path: string): Buffer {
  smallStore(path).store.close();
  const db = new Database(path);
  db.pragma('wal_checkpoint(TRUNCATE)');
  db.close();
  return readFileSync(path);
}

/** Flips one byte after another at the offsets given, reads everything, verifies, and puts the byte back. */
export function attackBytes(path: string, bytes: Buffer, offsets: Iterable<number>): AttackOutcome {
  writeFileSync(path, bytes);
  const whole = everyFact(path);
  const outcome = { tried: 0, found: 0, harmless: 0, strict: 0, missed: [] as number[] };
  for (const offset of offsets) {
    const original = bytes[offset] as number;
    const changedTo = original ^ (1 << ((offset * 7) % 8));
    put(path, offset, changedTo);
    const reads = everyFact(path);
    const silent = isSilent(path);
    put(path, offset, original);
    outcome.tried += 1;
    if (reads === whole) outcome[silent ? 'harmless' : 'strict'] += 1;
    else if (silent) outcome.missed.push(offset);
    else outcome.found += 1;
  }
  for (const suffix of ['-wal', '-shm']) rmSync(path + suffix, { force: true });
  return outcome;
}

function put(path: string, offset: number, value: number): void {
  const file = openSync(path, 'r+');
  writeSync(file, Uint8Array.of(value), 0, 1, offset);
  closeSync(file);
}

/** All that the store's face tells, as one text; or that it cannot be read. */
function everyFact(path: string): string {
  try {
    const store = openStore(path, { mode: 'read' });
    try {
      const tests = store.tests({ order: 'oldest first' });
      return canonicalJson([
        tests,
        [...tests].map(({ test }) => [store.test(test), [...store.inputs(test)], store.quickLooks(test)]),
        [...store.ledger()],
        store.ledgerHead(),
        store.signers(),
        store.certificates(),
        store
          .gauges()
          .map((gauge) => [
            gauge,
            gauge.calibrations.map(
              ({ attachment }) => store.attachment(attachment ?? '')?.bytes.toString('base64') ?? null,
            ),
          ]),
        ['wiped', 'Kürnwater', 'seed 2'].map((text) => store.tests({ text }).map(({ test }) => test)),
        store
          .tests({ verdict: 'pass', customer: 'press', gauge: '40117', since: '2026-01-01' })
          .map(({ test }) => test),
      ]);
    } finally {
      store.close();
    }
  } catch (error) {
    return `unreadable: ${(error as Error).message}`;
  }
}

function isSilent(path: string): boolean {
  try {
    const store = openStore(path, { mode: 'read' });
    try {
      return verifyStore(store, sampleJudge).problems.length === 0;
    } finally {
      store.close();
    }
  } catch {
    return false;
  }
}
