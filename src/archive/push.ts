import type { LedgerMark, Store } from '../record/index.js';
import { archiveError, isBesideAnother, isLostLine } from './archive-error.js';
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
 * when the line stays lost or the login lacks the right. Two pushes of one bench at once send the same rows, and each goes
 * on from what the archive holds.
 */
export async function push(archive: Archive, store: Store, options: PushOptions): Promise<Pushed> {
  const tally = { from: -1, testsSealed: 0, resumed: 0, inVain: 0, beside: 0 };
  for (;;) {
    try {
      const bench = await enrolled(archive, options.bench, rootOf(store));
      const held = await heldUpTo(archive, bench);
      if (tally.from < 0) tally.from = held.position;
      await holdAgainstArchive(store, archive, bench, held);
      for (const { rows, upTo, testsSealed } of consignments(store, held.position)) {
        await archive.together(async () => {
          for (const load of rows) await insert(archive, bench, load);
        });
        tally.testsSealed += testsSealed;
        tally.inVain = 0;
        tally.beside = 0;
        options.progress?.(upTo, store.ledgerHead().position);
      }
      const { from, testsSealed, resumed } = tally;
      return { bench: bench.name, from, to: await heldUpTo(archive, bench), testsSealed, resumed };
    } catch (cause) {
      if (isBesideAnother(cause) && tally.beside < mostBeside) {
        tally.beside += 1;
        await pause(100 * Math.random());
        continue;
      }
      if (!isLostLine(cause)) throw archiveError(cause, archive.name);
      tally.resumed += 1;
      await takeUp(archive, tally, options.tries ?? 5, cause);
    }
  }
}

/** So often another push of the bench may be ahead without anything having got through here. */
const mostBeside = 100;

/** Connects again after a lost line, waiting longer each time that nothing got through in between. */
async function takeUp(archive: Archive, tally: { inVain: number }, tries: number, lost: unknown): Promise<void> {
  for (let cause = lost; ; ) {
    tally.inVain += 1;
    if (tally.inVain >= tries) throw archiveError(cause, archive.name);
    await pause(50 * 2 ** tally.inVain);
    try {
      return await archive.connect();
    } catch (again) {
      cause = again;
    }
  }
}

/** Kept files come by their sum: the same file twice is one. All else meets the archive's guards row by row. */
async function insert(
  archive: Archive,
  bench: BenchEntry,
  { table, rows }: Consignment['rows'][number],
): Promise<void> {
  const columns = ['bench', ...Object.keys(rows[0] ?? {})];
  const values = rows.flatMap((row) => [bench.id, ...Object.values(row)]);
  const places = rows.map(
    (_, row) => `(${columns.map((_name, column) => `$${row * columns.length + column + 1}`).join(', ')})`,
  );
  await archive.rows(
    `INSERT INTO ${table} (${columns.join(', ')}) VALUES ${places.join(', ')}
     ${table === 'attachment' ? 'ON CONFLICT DO NOTHING' : ''}`,
    values,
  );
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
