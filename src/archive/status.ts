import { archiveError } from './archive-error.js';
import { shownBenches } from './bench-entry.js';
import type { Archive } from './connect.js';

/** How much the archive holds of a bench. */
export interface BenchStatus {
  readonly bench: string;
  /** Head of its ledger's first line, hex: what tells its store from every other. */
  readonly root: string;
  readonly position: number;
  readonly head: string;
  /** Wall clock of its newest ledger line. */
  readonly newestAt: string | null;
  readonly testsStarted: number;
  readonly testsSealed: number;
}

/** Every bench that this login may see, by name. */
export async function archiveStatus(archive: Archive): Promise<BenchStatus[]> {
  const rows = await archive
    .rows<Row>(
      `SELECT bench.name AS bench, root, coalesce(newest.position, 0) AS position, newest.head, newest.at,
         (SELECT count(*)::integer FROM ledger WHERE ledger.bench = bench.id AND kind = 'test started') AS started,
         (SELECT count(*)::integer FROM ledger WHERE ledger.bench = bench.id AND kind = 'test sealed') AS sealed
       FROM ${shownBenches} bench LEFT JOIN LATERAL (SELECT position, head, at FROM ledger WHERE ledger.bench = bench.id
         ORDER BY position DESC LIMIT 1) newest ON true
       ORDER BY bench.name`,
    )
    .catch((cause) => {
      throw archiveError(cause, archive.name);
    });
  return rows.map(({ bench, root, position, head, at, started, sealed }) => ({
    bench,
    root: root.toString('hex'),
    position,
    head: head?.toString('hex') ?? '0'.repeat(64),
    newestAt: at?.toISOString() ?? null,
    testsStarted: started,
    testsSealed: sealed,
  }));
}

interface Row {
  readonly bench: string;
  readonly root: Buffer;
  readonly position: number;
  readonly head: Buffer | null;
  readonly at: Date | null;
  readonly started: number;
  readonly sealed: number;
}
