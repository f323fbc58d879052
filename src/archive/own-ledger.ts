import { type LedgerMark, ledgerHead, ledgerRoot, type Store } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import type { BenchEntry } from './bench-entry.js';
import type { Archive } from './connect.js';

/** The head of the store's first ledger line. @throws DwellmarkError (`altered`) for a ledger without lines. */
export function rootOf(store: Store): Buffer {
  for (const { head } of store.raw.ledger()) return head;
  throw new DwellmarkError('altered', 'the ledger of this store is empty', { place: { file: store.path } });
}

/**
 * Walks the store's own ledger before anything is sent: every line on the one before, and the part that the archive
 * holds the same there as here.
 * @throws DwellmarkError (`altered`) naming the first position that differs.
 */
export async function holdAgainstArchive(
  store: Store,
  archive: Archive,
  bench: BenchEntry,
  held: LedgerMark,
): Promise<void> {
  const heads: Buffer[] = [ledgerRoot];
  let head: Buffer = ledgerRoot;
  for (const row of store.raw.ledger()) {
    const place = heads.length;
    head = ledgerHead(head, Buffer.from(row.line, 'utf8'));
    if (row.position !== place || !head.equals(row.head))
      throw altered(store, `ledger line ${place} of this store does not fit its chain`);
    heads.push(head);
  }
  const here = heads[held.position];
  if (!here)
    throw altered(
      store,
      `the archive holds ledger line ${held.position} of "${bench.name}", this store ends at ${heads.length - 1}`,
      'This is an older copy of the store, or its newest end was cut off: push from the store itself.',
    );
  if (here.toString('hex') !== held.head)
    throw altered(
      store,
      `ledger line ${await firstDifference(heads, archive, bench, held)} of this store is another than the archive holds`,
    );
}

/** The first position at which archive and store part: heads are chained, so from there on all differ. */
async function firstDifference(
  heads: readonly Buffer[],
  archive: Archive,
  bench: BenchEntry,
  held: LedgerMark,
): Promise<number> {
  let [same, different] = [0, held.position];
  while (different - same > 1) {
    const middle = Math.floor((same + different) / 2);
    const [row] = await archive.rows<{ head: Buffer }>('SELECT head FROM ledger WHERE bench = $1 AND position = $2', [
      bench.id,
      middle,
    ]);
    if (row && heads[middle]?.equals(row.head)) same = middle;
    else different = middle;
  }
  return different;
}

const altered = (store: Store, message: string, advice?: string): DwellmarkError =>
  new DwellmarkError('altered', message, {
    place: { file: store.path },
    advice: advice ?? 'Nothing was sent. Run `dwellmark verify --all`; the archive keeps what it has.',
  });
