import { StoreCopy, type StoredBlock } from '../record/index.js';
import { archiveError } from './archive-error.js';
import type { BenchEntry } from './bench-entry.js';
import type { Archive } from './connect.js';

/** What of a bench comes back. */
export interface Wanted {
  /** Numbers of tests; all when absent. */
  readonly tests?: readonly string[];
  /** The whole ledger, or only what is about these tests, the signers and the gauges. */
  readonly ledger: 'whole' | 'about them';
  readonly progress?: (tests: number) => void;
}

/**
 * Writes a bench's record, or a part of it, from the archive into a store of its own: the bytes that the bench pushed.
 * What reads and verifies a store then reads and verifies the archive.
 * @throws DwellmarkError when there is a file already, or the archive fails.
 */
export async function copyBack(archive: Archive, bench: BenchEntry, path: string, wanted: Wanted): Promise<void> {
  const copy = new StoreCopy(path);
  try {
    await copyKeptFiles(archive, bench, copy);
    await copyTests(archive, bench, copy, wanted);
    await copyLedger(archive, bench, copy, wanted);
  } catch (cause) {
    throw archiveError(cause, archive.name);
  } finally {
    copy.close();
  }
}

async function copyLedger({ sql }: Archive, bench: BenchEntry, copy: StoreCopy, wanted: Wanted): Promise<void> {
  const about =
    wanted.ledger === 'whole'
      ? sql``
      : sql`AND (test = ANY(${[...(wanted.tests ?? [])]}) OR kind IN
          ('signer enrolled', 'signer revoked', 'gauge entered', 'calibration entered'))`;
  const rows = sql<{ position: number; line: string; head: Buffer }[]>`
    SELECT position, line, head FROM ledger WHERE bench = ${bench.id} ${about} ORDER BY position`;
  for await (const page of rows.cursor(1000))
    copy.together(() => {
      for (const { position, line, head } of page) copy.addLine(position, line, head);
    });
}

interface TestRow {
  readonly test: string;
  readonly year: number;
  readonly header: string;
  readonly head: Buffer;
  readonly seal: string | null;
  readonly seal_head: Buffer | null;
  readonly words: string | null;
}

/** In the order in which they were started, as in the store they came from. */
async function copyTests({ sql }: Archive, bench: BenchEntry, copy: StoreCopy, wanted: Wanted): Promise<void> {
  const only = wanted.tests === undefined ? sql`` : sql`AND test = ANY(${[...wanted.tests]})`;
  const names = await sql<{ test: string }[]>`
    SELECT test FROM ledger WHERE bench = ${bench.id} AND kind = 'test started' ${only} ORDER BY position`;
  let done = 0;
  for (const { test } of names) {
    const [row] = await sql<TestRow[]>`
      SELECT test.test, test.year, header, test.head, seal, seal.head AS seal_head, words
      FROM test LEFT JOIN seal USING (bench, test, year) WHERE bench = ${bench.id} AND test = ${test}`;
    if (row) {
      const blocks = await blocksOf(sql, bench, row);
      const { seal, seal_head: head, words } = row;
      copy.together(() =>
        copy.addTest({ ...row, blocks, seal: seal && head ? { text: seal, head, words: words ?? '' } : null }),
      );
    }
    done += 1;
    wanted.progress?.(done);
  }
}

const blocksOf = async (sql: Archive['sql'], bench: BenchEntry, { test, year }: TestRow): Promise<StoredBlock[]> =>
  sql<StoredBlock[]>`
    SELECT first_seq AS "firstSeq", links, readings, first_us AS "firstUs", last_us AS "lastUs", first_pa AS "firstPa",
      last_pa AS "lastPa", min_pa AS "minPa", max_pa AS "maxPa", head, payload
    FROM block WHERE bench = ${bench.id} AND test = ${test} AND year = ${year} ORDER BY first_seq`;

async function copyKeptFiles({ sql }: Archive, bench: BenchEntry, copy: StoreCopy): Promise<void> {
  const rows = sql<{ sha256: Buffer; media: string; bytes: Buffer }[]>`
    SELECT sha256, media, bytes FROM attachment WHERE bench = ${bench.id}`;
  for await (const page of rows.cursor(10))
    copy.together(() => {
      for (const { sha256, media, bytes } of page) copy.addKeptFile(sha256.toString('hex'), media, bytes);
    });
}
