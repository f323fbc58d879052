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

const pageOfLines = 1000;

async function copyLedger(archive: Archive, bench: BenchEntry, copy: StoreCopy, wanted: Wanted): Promise<void> {
  const about =
    wanted.ledger === 'whole'
      ? ''
      : "AND (test = ANY($3) OR kind IN ('signer enrolled', 'signer revoked', 'gauge entered', 'calibration entered'))";
  const tests = wanted.ledger === 'whole' ? [] : [wanted.tests ?? []];
  for (let after = 0; ; ) {
    const page = await archive.rows<{ position: number; line: string; head: Buffer }>(
      `SELECT position, line, head FROM ledger WHERE bench = $1 AND position > $2 ${about}
       ORDER BY position LIMIT ${pageOfLines}`,
      [bench.id, after, ...tests],
    );
    copy.together(() => {
      for (const { position, line, head } of page) copy.addLine(position, line, head);
    });
    after = page.at(-1)?.position ?? 0;
    if (page.length < pageOfLines) return;
  }
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
async function copyTests(archive: Archive, bench: BenchEntry, copy: StoreCopy, wanted: Wanted): Promise<void> {
  const names = await archive.rows<{ test: string }>(
    `SELECT test FROM ledger WHERE bench = $1 AND kind = 'test started' ${wanted.tests ? 'AND test = ANY($2)' : ''}
     ORDER BY position`,
    wanted.tests ? [bench.id, wanted.tests] : [bench.id],
  );
  let done = 0;
  for (const { test } of names) {
    const [row] = await archive.rows<TestRow>(
      `SELECT test.test, test.year, header, test.head, seal, seal.head AS seal_head, words
       FROM test LEFT JOIN seal USING (bench, test, year) WHERE bench = $1 AND test = $2`,
      [bench.id, test],
    );
    if (row) {
      const blocks = await blocksOf(archive, bench, row);
      const { seal, seal_head: head, words } = row;
      copy.together(() =>
        copy.addTest({ ...row, blocks, seal: seal && head ? { text: seal, head, words: words ?? '' } : null }),
      );
    }
    done += 1;
    wanted.progress?.(done);
  }
}

async function blocksOf(archive: Archive, bench: BenchEntry, { test, year }: TestRow): Promise<StoredBlock[]> {
  const rows = await archive.rows<Readonly<Record<(typeof looks)[number], string | null>> & StoredBlock>(
    `SELECT first_seq AS "firstSeq", links, readings, first_us AS "firstUs", last_us AS "lastUs",
       first_pa AS "firstPa", last_pa AS "lastPa", min_pa AS "minPa", max_pa AS "maxPa", head, payload
     FROM block WHERE bench = $1 AND test = $2 AND year = $3 ORDER BY first_seq`,
    [bench.id, test, year],
  );
  return rows.map((row) => ({ ...row, ...numbers(row) }));
}

const looks = ['firstUs', 'lastUs', 'firstPa', 'lastPa', 'minPa', 'maxPa'] as const;
type Looks = Record<(typeof looks)[number], number | null>;

/** 64-bit columns come as text; pascals and microseconds fit a double: 2^53 microseconds are 285 years. */
function numbers(row: Readonly<Record<(typeof looks)[number], unknown>>): Looks {
  const entries = looks.map((name) => [name, row[name] === null ? null : Number(row[name])] as const);
  return Object.fromEntries(entries) as Looks;
}

async function copyKeptFiles(archive: Archive, bench: BenchEntry, copy: StoreCopy): Promise<void> {
  const names = await archive.rows<{ sha256: Buffer }>('SELECT sha256 FROM attachment WHERE bench = $1', [bench.id]);
  for (const { sha256 } of names) {
    const [file] = await archive.rows<{ media: string; bytes: Buffer }>(
      'SELECT media, bytes FROM attachment WHERE bench = $1 AND sha256 = $2',
      [bench.id, sha256],
    );
    if (file) copy.together(() => copy.addKeptFile(sha256.toString('hex'), file.media, file.bytes));
  }
}
