import type postgres from 'postgres';
import type { LedgerMark, Store } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import { archiveError, isLostLine } from './archive-error.js';
import { type BenchEntry, enrolled, heldUpTo } from './bench-entry.js';
import type { Archive } from './connect.js';
import { type Consignment, consignments } from './consignment.js';
import { holdAgainstArchive, rootOf } from './own-ledger.js';

export interface PushOptions {
  /** Name of the bench, where the archive does not know its store yet. */
  readonly bench: string;
  /** How often a lost line is taken up again without anything having got through in between. */
  readonly tries?: number;
  /** Told after each consignment that the archive holds. */
  readonly progress?: (position: number, of: number) => void;
}

/** What a push came to. */
export interface Pushed {
  readonly bench: string;
  /** Ledger position from which it went on, and up to which the archive holds the bench now. */
  readonly from: number;
  readonly to: LedgerMark;
  readonly testsSealed: number;
  /** How often the line was lost and taken up again. */
  readonly resumed: number;
}

/**
 * Brings the archive up to a store's ledger: lines in order, each sealed test's header, trace and seal before the line
 * that seals it. Whatever a transaction brought is kept; sending something twice changes nothing.
 * @throws DwellmarkError `altered` for a store that is not what it was, or not the one that the archive knows; `refused`
 * when the line stays lost, the login lacks the right, or another push of the bench is under way.
 */
export async function push(archive: Archive, store: Store, options: PushOptions): Promise<Pushed> {
  const { sql } = archive;
  const tally = { from: -1, to: 0, testsSealed: 0, resumed: 0, inVain: 0 };
  for (;;) {
    try {
      const bench = await enrolled(sql, options.bench, rootOf(store));
      await lockBench(sql, bench);
      const held = await heldUpTo(sql, bench);
      if (tally.from < 0) tally.from = held.position;
      tally.to = held.position;
      await holdAgainstArchive(store, sql, bench, held);
      await send(sql, store, bench, held.position, (consignment) => {
        tally.to = consignment.upTo;
        tally.testsSealed += consignment.testsSealed;
        tally.inVain = 0;
        options.progress?.(consignment.upTo, store.ledgerHead().position);
      });
      const { from, testsSealed, resumed } = tally;
      return { bench: bench.name, from, to: await heldUpTo(sql, bench), testsSealed, resumed };
    } catch (cause) {
      tally.inVain += 1;
      if (!isLostLine(cause) || tally.inVain >= (options.tries ?? 5)) throw archiveError(cause, archive.name);
      tally.resumed += 1;
      await new Promise((resolve) => setTimeout(resolve, 100 * 2 ** tally.inVain));
    }
  }
}

async function send(
  sql: postgres.Sql,
  store: Store,
  bench: BenchEntry,
  after: number,
  told: (consignment: Consignment) => void,
): Promise<void> {
  for (const consignment of consignments(store, after)) {
    await sql.begin((within) => consignment.rows.map(({ table, rows }) => insert(within, bench, table, rows)));
    told(consignment);
  }
}

/** Kept files come by their sum: the same file twice is one. All else meets the archive's guards row by row. */
function insert(
  sql: postgres.TransactionSql,
  bench: BenchEntry,
  table: string,
  rows: readonly Readonly<Record<string, unknown>>[],
): postgres.PendingQuery<postgres.Row[]> {
  const owned = rows.map((row) => ({ bench: bench.id, ...row }));
  const values = sql(owned as readonly Record<string, postgres.SerializableParameter>[]);
  return table === 'attachment'
    ? sql`INSERT INTO attachment ${values} ON CONFLICT DO NOTHING`
    : sql`INSERT INTO ${sql(table)} ${values}`;
}

/** One push of a bench at a time; the lock goes with the connection. */
async function lockBench(sql: postgres.Sql, bench: BenchEntry): Promise<void> {
  const waitMs = 5000;
  for (const until = Date.now() + waitMs; ; ) {
    const [lock] = await sql<{ taken: boolean }[]>`
      SELECT pg_try_advisory_lock(hashtext('dwellmark push'), ${bench.id}) AS taken`;
    if (lock?.taken) return;
    if (Date.now() > until)
      throw new DwellmarkError('refused', `another push of bench "${bench.name}" is under way`, {
        advice: 'Let it end; this one would send the same.',
      });
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
}
