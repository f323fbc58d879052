import type Database from 'better-sqlite3';
import { canonicalJson, sealHead } from '../chain/index.js';
import { insertRow } from '../file/index.js';
import type { TestHeader } from '../header.js';
import type { Clocks, Ledger } from '../ledger/index.js';
import type { SealMark, TestSeal } from '../seal.js';
import type { CommitEvery } from './commit-every.js';
import { packFresh } from './link-store.js';
import { indexTest } from './search-index.js';

/** A test on its way into the store. */
export interface WriterSetting {
  readonly db: Database.Database;
  readonly path: string;
  readonly ledger: Ledger;
  readonly clocks: Clocks;
  readonly testId: number;
  readonly header: TestHeader;
  readonly headerHead: Buffer;
  readonly commitEvery: CommitEvery;
  /** Told when the seal is on disk. */
  readonly sealed: () => void;
}

/**
 * Puts a test's seal into the store, packs its links and tells the ledger: all in one commit, or nothing of it.
 * @param chainHead head after the last link
 * @param notes words of the test to be found by
 */
export function sealTest(
  { db, testId, header, ledger }: WriterSetting,
  seal: TestSeal,
  chainHead: Uint8Array,
  notes: readonly string[],
): SealMark {
  const text = canonicalJson(seal);
  const head = sealHead(chainHead, Buffer.from(text, 'utf8'));
  const { verdict } = seal.result;
  const { links, readings } = seal;
  const mark = db
    .transaction(() => {
      insertRow(db, 'seal (test, verdict, readings, head, seal)', [testId, verdict, readings, head, text]);
      packFresh(db, testId);
      indexTest(db, testId, header, notes);
      return ledger.act('test sealed', { head: head.toString('hex'), verdict, links, readings }, { test: header.test });
    })
    .immediate();
  return { head: head.toString('hex'), ledger: mark.position, ledgerHead: mark.head };
}
