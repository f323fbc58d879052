import type Database from 'better-sqlite3';
import { dayOrTime } from './day-or-time.js';

/**
 * Sealed holds on plugged lines at a bench since a day or time, newest first, without those that were voided: found
 * one after the other, so that whoever wants the newest looks no further. What a header says of its procedure is in
 * no column; 500 headers are looked through in some 10 ms.
 */
export function* benchChecks(db: Database.Database, bench: string, since: string): Iterable<string> {
  yield* db
    .prepare<[number, string], string>(
      `SELECT test.test FROM test CROSS JOIN header ON header.test = test.id
       WHERE started_ms >= ?
         AND header ->> '$.plan.procedure.subject' = 'plugged lines' AND header ->> '$.bench' = ?
         AND EXISTS (SELECT 1 FROM seal INDEXED BY seal_test WHERE seal.test = test.id)
         AND NOT EXISTS (SELECT 1 FROM ledger WHERE ledger.test = test.test AND kind = 'test voided')
       ORDER BY started_ms DESC, test.id DESC`,
    )
    .pluck()
    .iterate(dayOrTime(since, 'since', 0), bench);
}
