import { join } from 'node:path';
import { Client } from 'pg';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  archiveStatus,
  benchNamed,
  copyBack,
  listArchive,
  openArchive,
  prepareArchive,
  push,
} from '../../src/archive/index.js';
import { verifyStore } from '../../src/audit/index.js';
import { openStore, type Store, type TestFilter } from '../../src/record/index.js';
import {
  asInputs,
  newStore,
  sampleHeader,
  sampleReadings,
  sampleResult,
  scratchFolder,
  seeded,
  withGauge,
  writeTest,
} from '../record/sample-test.js';
import { allRows, filledStore, pushWithLostLines, rebuiltFrom } from './benches.js';
import { type PostgresServer, startPostgres } from './postgres-server.js';

const folder = scratchFolder();
let server: PostgresServer;

beforeAll(async () => {
  server = await startPostgres();
}, 60_000);
afterAll(async () => server.stop());

const archiveOf = async (name: string): Promise<string> => {
  const url = await server.database(name);
  await prepareArchive(url, 2026);
  return url;
};

describe('an archive of three benches', () => {
  const tests = Number(process.env.DWELLMARK_ARCHIVE_TESTS ?? 1000);
  const cuts = 50;

  it(`takes ${tests} tests of each, the line cut ${cuts} times, and equals the benches`, async () => {
    const url = await archiveOf('three_benches');
    const random = seeded(20261125);
    let lost = 0;
    for (const bench of [1, 2, 3]) {
      const login = `bench_${bench}`;
      await server.login(login, 'dwellmark_bench');
      const store = filledStore(join(folder, `bench-${bench}.db`), bench, tests);
      lost += await pushWithLostLines(server, server.url('three_benches', login), store, `Bench ${bench}`, {
        cuts: Math.ceil(cuts / 3),
        random,
      });
      const archive = await openArchive(url);
      const back = join(folder, `bench-${bench}-back.db`);
      await copyBack(archive, await benchNamed(archive, `Bench ${bench}`), back, { ledger: 'whole' });
      await archive.close();
      const copy = openStore(back, { mode: 'read' });
      const report = verifyStore(copy, (_header, inputs) => sampleResult(inputs));
      expect(report.problems).toEqual([]);
      expect(report.counts.verdicts).toBe(tests);
      expect(allRows(copy)).toEqual(allRows(store));
      copy.close();
      store.close();
    }
    expect(lost).toBeGreaterThanOrEqual(cuts);
    const archive = await openArchive(url);
    expect((await archiveStatus(archive)).map(({ testsSealed }) => testsSealed)).toEqual([tests, tests, tests]);
    await archive.close();
  }, 600_000);
});

describe('what the archive refuses', () => {
  let url: string;
  beforeAll(async () => {
    url = await archiveOf('refusals');
    await server.login('refused_1', 'dwellmark_bench');
    await server.login('refused_2', 'dwellmark_bench');
    await server.login('reader_1', 'dwellmark_reader');
  });
  const as = (login: string) => openArchive(server.url('refusals', login));

  it('a bench whose ledger was changed, naming the line', async () => {
    const path = join(folder, 'tampered.db');
    const store = filledStore(path, 7, 4);
    const archive = await as('refused_1');
    await push(archive, store, { bench: 'Bench 7' });
    store.close();
    rebuiltFrom(path, 9);
    const changed = openStore(path, { mode: 'read' });
    await expect(push(archive, changed, { bench: 'Bench 7' })).rejects.toMatchObject({
      code: 'altered',
      message: expect.stringContaining('ledger line 9 of this store is another than the archive holds'),
    });
    changed.close();
    await archive.close();
  });

  it('a store set back to an older copy, and one that goes on from there', async () => {
    const path = join(folder, 'set-back.db');
    const store = filledStore(path, 8, 2);
    const older = join(folder, 'older.db');
    await store.backup(older);
    writeTest(store, sampleHeader('T-2026-0099'), asInputs(sampleReadings({ seconds: 3 })));
    const archive = await as('refused_2');
    await push(archive, store, { bench: 'Bench 8' });
    store.close();
    const fork = newStore(older);
    await expect(push(archive, fork, { bench: 'Bench 8' })).rejects.toMatchObject({
      code: 'altered',
      message: expect.stringMatching(/the archive holds ledger line \d+ of "Bench 8", this store ends at \d+/),
    });
    for (let more = 0; more < 4; more += 1) fork.act('audit reported', { more });
    await expect(push(archive, fork, { bench: 'Bench 8' })).rejects.toMatchObject({
      code: 'altered',
      message: expect.stringMatching(/ledger line \d+ of this store is another/),
    });
    fork.close();
    await archive.close();
  });

  const raw = async (login?: string): Promise<Client> => {
    const client = new Client(login === undefined ? url : server.url('refusals', login));
    await client.connect();
    await client.query('SET search_path = dwellmark');
    return client;
  };

  it('rows that leave a gap, fork, or do not chain, whoever sends them', async () => {
    const client = await raw('refused_1');
    const [bench] = (await client.query('SELECT id FROM bench')).rows;
    const [last] = (await client.query('SELECT position, line, head FROM ledger ORDER BY position DESC LIMIT 1')).rows;
    const send = (position: number, head: Buffer) =>
      client.query('INSERT INTO ledger (bench, position, line, head) VALUES ($1, $2, $3, $4)', [
        bench.id,
        position,
        last.line,
        head,
      ]);
    const other = Buffer.alloc(32, 7);
    await expect(send(last.position + 2, other)).rejects.toMatchObject({ code: 'DW002' });
    await expect(send(last.position, other)).rejects.toMatchObject({ code: 'DW001' });
    await expect(send(last.position + 1, other)).rejects.toMatchObject({ code: 'DW003' });
    expect((await send(last.position, last.head)).rowCount).toBe(0);
    const columns = 'bench, test, year, first_seq, links, readings, head, payload';
    const move = (first: string, payload: string) =>
      client.query(`INSERT INTO block (${columns}) SELECT bench, test, year, ${first}, links, readings, head, ${payload}
        FROM block ORDER BY test LIMIT 1`);
    await expect(move('first_seq + links', 'payload')).rejects.toMatchObject({ code: 'DW003' });
    await expect(move('90000', 'payload')).rejects.toMatchObject({ code: 'DW002' });
    await expect(move('first_seq + links', "substr(payload, 1, 9) || '\\x00'")).rejects.toMatchObject({
      code: 'DW003',
    });
    expect((await move('first_seq', 'payload')).rowCount).toBe(0);
    await client.end();
  });

  it("a bench that would change, remove, or add to another's rows; a reader that would add", async () => {
    const [bench, reader, owner] = await Promise.all([raw('refused_1'), raw('reader_1'), raw()]);
    for (const act of [
      'UPDATE test SET customer = $$x$$',
      'DELETE FROM ledger',
      'TRUNCATE block',
      'INSERT INTO block SELECT * FROM block_2026',
      'DROP TRIGGER arrives ON ledger',
    ])
      await expect(bench.query(act)).rejects.toMatchObject({ code: '42501' });
    const [other] = (await owner.query("SELECT id FROM bench WHERE name = 'Bench 8'")).rows;
    const file = `INSERT INTO attachment (bench, sha256, media, bytes)
      VALUES ($1, sha256('x'::bytea), 'text/plain', 'x'::bytea)`;
    await expect(bench.query(file, [other.id])).rejects.toMatchObject({ code: '42501' });
    expect((await bench.query('SELECT 1 FROM test WHERE bench = $1', [other.id])).rows).toEqual([]);
    expect((await reader.query('SELECT DISTINCT bench FROM test')).rows).toHaveLength(2);
    await expect(reader.query("INSERT INTO bench (name, root) VALUES ('x', sha256('x'::bytea))")).rejects.toMatchObject(
      { code: '42501' },
    );
    for (const act of ['UPDATE test SET customer = $$x$$', 'DELETE FROM ledger', 'TRUNCATE seal'])
      await expect(owner.query(act)).rejects.toMatchObject({ code: 'DW001' });
    await Promise.all([bench.end(), reader.end(), owner.end()]);
  });

  it('a database without an archive, a stranger, nobody there: in words', async () => {
    await server.database('empty');
    await expect(openArchive(server.url('empty'))).rejects.toMatchObject({ message: 'this database holds no archive' });
    await expect(openArchive('postgres://nobody@127.0.0.1:1/x')).rejects.toMatchObject({
      message: 'nobody answers at the archive',
    });
    await expect(openArchive(server.url('refusals', 'a_stranger'))).rejects.toMatchObject({ code: 'refused' });
    await expect(openArchive('http://example.org/')).rejects.toMatchObject({ code: 'usage' });
  });
});

describe('a list across benches', () => {
  let store: Store;
  beforeAll(async () => {
    await archiveOf('lists');
    await server.login('lister', 'dwellmark_bench');
    store = newStore(join(folder, 'lists.db'));
    for (let number = 1; number <= 30; number += 1) {
      const header = sampleHeader(`T-2026-${String(number).padStart(4, '0')}`, {
        customer: number % 3 === 0 ? 'Tarn Quarry Plant' : 'Kürnwater 100 % Press_Works',
        technician: number % 2 === 0 ? 'J. Okafor' : 'L. Vance',
        startedAt: `2026-03-${String(number).padStart(2, '0')}T09:00:00.000Z`,
      });
      const shape = { seconds: 3, seed: number, dropPaPerS: number % 5 === 0 ? 200_000 : 500 };
      writeTest(store, withGauge(header, number % 7 === 0 ? 'SN 2' : 'SN 1'), asInputs(sampleReadings(shape)));
    }
    const archive = await openArchive(server.url('lists', 'lister'));
    await push(archive, store, { bench: 'Bench L' });
    await archive.close();
  });
  afterAll(() => store.close());

  const filters: TestFilter[] = [
    {},
    { customer: 'quarry' },
    { customer: '100 % press_' },
    { customer: '%' },
    { verdict: 'fail' },
    { verdict: 'unsealed' },
    { gauge: 'SN 2' },
    { person: 'vance' },
    { since: '2026-03-10', until: '2026-03-12' },
    { text: 'kürnwater okafor' },
    { verdict: 'pass', customer: 'tarn', order: 'oldest first' },
    { workOrder: 'wo-2207', serial: 'cy-1184' },
  ];

  it.each(filters)('finds what the store finds: %o', async (filter) => {
    const archive = await openArchive(server.url('lists', 'lister'));
    const found = await listArchive(archive, { ...filter, limit: 100 });
    await archive.close();
    const expected = store.tests(filter).map(({ head: _head, ...line }) => ({ ...line, bench: 'Bench L' }));
    expect(found).toEqual(expected.map((line) => ({ ...line, startedAt: new Date(line.startedAt).toISOString() })));
  });
});
