import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { Client } from 'pg';
import { type ArchiveFilter, listArchive, openArchive, prepareArchive, push } from '../../src/archive/index.js';
import { startPostgres } from '../archive/postgres-server.js';
import { asInputs, newStore, sampleHeader, sampleReadings, writeTest } from '../record/sample-test.js';

/*
 * The archive on a PostgreSQL of its own: how many tests a minute a bench pushes, what a test takes there, and how long
 * a list across benches takes over a million tests.
 */

const pushed = 200;
const listed = Number(process.env.DWELLMARK_ARCHIVE_LISTED ?? 1_000_000);
const benches = 100;
const years = 10;

const folder = mkdtempSync(join(tmpdir(), 'dwellmark-archive-bench-'));
const server = await startPostgres();
try {
  const url = await server.database('bench');
  await prepareArchive(url, 2026);
  await measurePush(url);
  await fill(url);
  await measureLists(url);
} finally {
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
}

async function measurePush(url: string): Promise<void> {
  const store = newStore(join(folder, 'record.db'));
  const minutes = 15;
  for (let number = 1; number <= pushed; number += 1) {
    const readings = sampleReadings({ seconds: minutes * 60, seed: number });
    writeTest(store, sampleHeader(`T-2026-${String(number).padStart(4, '0')}`), asInputs(readings));
  }
  const archive = await openArchive(url);
  const before = performance.now();
  await push(archive, store, { bench: 'Bench 0' });
  const seconds = (performance.now() - before) / 1000;
  store.close();
  const [size] = await archive.rows<{ bytes: string }>(
    `SELECT sum(pg_total_relation_size(oid)) AS bytes FROM pg_class
     WHERE relkind = 'r' AND relnamespace = 'dwellmark'::regnamespace`,
  );
  await archive.close();
  const bytes = Number(size?.bytes) / pushed;
  const tests = benches * years * 2500;
  console.error(
    `push: ${pushed} tests of ${minutes} min at 10 Hz, ${Math.round((pushed / seconds) * 60)} tests a minute`,
  );
  console.error(
    `size: ${Math.round(bytes / 1000)} kB a test; ${benches} benches, 10 tests a working day, ${years} years:`,
  );
  console.error(`      ${(tests / 1e6).toFixed(1)} million tests, ${((tests * bytes) / 1e9).toFixed(0)} GB`);
}

/** Rows as the guards would leave them, without their traces: a list reads none of those. */
async function fill(url: string): Promise<void> {
  const client = new Client(url);
  await client.connect();
  await client.query('SET search_path = dwellmark, public');
  await client.query(
    "INSERT INTO bench (name, root) SELECT 'Bench ' || n, sha256(n::text::bytea) FROM generate_series(1, $1::integer) n",
    [benches],
  );
  for (const table of ['test', 'seal', 'ledger']) await client.query(`ALTER TABLE ${table} DISABLE TRIGGER USER`);
  await client.query(
    `INSERT INTO test SELECT 2 + n % ${benches}, 'T-' || lpad(n::text, 8, '0'), 2026 + n * ${years} / $1,
       '2026-01-01'::timestamptz + n * interval '${years} years' / $1,
       'Customer ' || n % 997, 'CY-' || n % 50000, 'WO-' || n / 3, 'SN ' || n % 300, ARRAY['SN ' || n % 300], 'Person ' || n % 250, 'cylinder-proof',
       '{"origin":"live"}', sha256(n::text::bytea) FROM generate_series(0, $1::integer - 1) n`,
    [listed],
  );
  await client.query(
    `INSERT INTO seal SELECT bench, test, year, started_at, (ARRAY['pass','fail','inconclusive','invalid'])
       [1 + CASE WHEN hashtext(test) % 20 = 0 THEN abs(hashtext(test)) % 3 + 1 ELSE 0 END], 9000, '{}', head,
       test || ' ' || customer || CASE WHEN hashtext(test) % 1000 = 0 THEN ' gland weeping' ELSE '' END FROM test
     WHERE bench > 1`,
  );
  await client.query(
    `INSERT INTO ledger SELECT bench, row_number() OVER (PARTITION BY bench), started_at, 'signed', test, 'qa', '{}', head
     FROM test WHERE bench > 1`,
  );
  await client.query('ANALYZE');
  await client.end();
}

async function measureLists(url: string): Promise<void> {
  const archive = await openArchive(url);
  const asked: Partial<ArchiveFilter>[] = [
    {},
    { customer: 'customer 512' },
    { serial: 'CY-4711' },
    { workOrder: 'wo-31415' },
    { gauge: 'SN 77' },
    { person: 'person 99' },
    { verdict: 'fail' },
    { verdict: 'invalid', bench: 'Bench 5' },
    { text: 'weeping' },
    { bench: 'Bench 42', since: '2030-03-01', until: '2030-03-31' },
  ];
  console.error(`list over ${listed} tests, newest 100, ms (median of 5):`);
  for (const filter of asked) {
    const times: number[] = [];
    let found = 0;
    for (let run = 0; run < 5; run += 1) {
      const before = performance.now();
      found = (await listArchive(archive, { ...filter, limit: 100 })).length;
      times.push(performance.now() - before);
    }
    const median = times.sort((a, b) => a - b)[2] ?? 0;
    console.error(
      `  ${JSON.stringify(filter).padEnd(60)} ${String(found).padStart(4)} rows ${median.toFixed(0).padStart(6)}`,
    );
  }
  await archive.close();
}
