import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { Client } from 'pg';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { alteredColumns, benches, benchNamed, copyBack, openArchive, push } from '../../src/archive/index.js';
import { judgeStored, verifyStore } from '../../src/audit/index.js';
import { openStore } from '../../src/record/index.js';
import { type PostgresServer, startPostgres } from '../archive/postgres-server.js';
import { dwellmark } from '../cli/command-line.js';
import { scratchFolder } from '../record/sample-test.js';
import { type Found, missed } from './forgery.js';
import { copied, inShop, makeShop, type Shop } from './shop.js';

let server: PostgresServer;
let shop: Shop;
const folder = scratchFolder();

/** A shop that pushes under a login of its own. */
async function pushing(from: Shop, login: string): Promise<Shop> {
  const made = copied(from);
  const file = path.join(made.folder, 'dwellmark.toml');
  writeFileSync(file, `archive = "${server.url('archive', login)}"\n${readFileSync(file, 'utf8')}`);
  return made;
}

beforeAll(async () => {
  server = await startPostgres();
  const url = await server.database('archive');
  expect(await dwellmark('archive', 'prepare', '--archive', url)).toMatchObject({ code: 0 });
  for (const login of ['bench_1', 'bench_2', 'bench_3']) await server.login(login, 'dwellmark_bench');
  await server.login('auditor', 'dwellmark_reader');
  shop = await pushing(await makeShop(), 'bench_1');
  expect(await inShop(shop.folder, ['archive', 'push'])).toMatchObject({ code: 0 });
}, 120_000);
afterAll(async () => {
  await server.stop();
  rmSync(shop.folder, { recursive: true, force: true });
});

async function asOwner(database: string, ...statements: readonly string[]): Promise<number> {
  const client = new Client(server.url(database));
  await client.connect();
  let changed = 0;
  try {
    await client.query('SET search_path = dwellmark, public');
    // What the owner of a database can always do: no trigger fires, no reference is held.
    await client.query('SET session_replication_role = replica');
    for (const statement of statements) changed += (await client.query(statement)).rowCount ?? 0;
  } finally {
    await client.end();
  }
  return changed;
}

/** What `verify --archive` finds in a copy of the archive that its owner altered. */
async function altered(name: string, statement: string): Promise<Found> {
  await asOwner('postgres', `CREATE DATABASE ${name} TEMPLATE archive`);
  expect(await asOwner(name, statement), statement).toBeGreaterThan(0);
  const archive = await openArchive(server.url(name));
  try {
    const bench = await benchNamed(archive, 'Bench 1');
    const problems = [...(await alteredColumns(archive, bench))];
    const file = path.join(folder, `${name}.db`);
    await copyBack(archive, bench, file, { ledger: 'whole' });
    const store = openStore(file, { mode: 'read' });
    const report = verifyStore(store, judgeStored);
    store.close();
    return { problems: [...problems, ...report.problems], unproven: [] };
  } finally {
    await archive.close();
    await asOwner('postgres', `DROP DATABASE ${name}`);
  }
}

const failed = `test = '%FAILED%'`;
/** What the owner of the archive's database may do to its rows; each is done to the failed test or to its lines. */
const statements: readonly (readonly [string, string])[] = [
  ['another customer in the list', `UPDATE test SET customer = 'Weir Farm' WHERE ${failed}`],
  ['another cylinder in the list', `UPDATE test SET serial = 'TQ-1' WHERE ${failed}`],
  ['another work order in the list', `UPDATE test SET work_order = 'WO-1' WHERE ${failed}`],
  ['another gauge in the list', `UPDATE test SET gauge = 'SN 9' WHERE ${failed}`],
  ['a gauge hidden from recall', `UPDATE test SET gauges = '{}' WHERE ${failed}`],
  ['another technician in the list', `UPDATE test SET technician = 'Eve' WHERE ${failed}`],
  ['another procedure in the list', `UPDATE test SET procedure = 'other' WHERE ${failed}`],
  ['another day in the list', `UPDATE test SET started_at = started_at - interval '40 days' WHERE ${failed}`],
  ['a fail listed as a pass', `UPDATE seal SET verdict = 'pass' WHERE ${failed}`],
  ['another number of readings in the list', `UPDATE seal SET readings = readings + 1 WHERE ${failed}`],
  ['another day among the seals', `UPDATE seal SET started_at = started_at - interval '40 days' WHERE ${failed}`],
  ['the words that it is searched by', `UPDATE seal SET words = 'nothing' WHERE ${failed}`],
  ['a signature that is listed as something else', `UPDATE ledger SET kind = 'backup made' WHERE kind = 'signed'`],
  [
    'a start hidden among the lines',
    `UPDATE ledger SET kind = 'backup made' WHERE kind = 'test started' AND ${failed}`,
  ],
  ['a line of another test', `UPDATE ledger SET test = NULL WHERE kind = 'certificate issued'`],
  [
    'a certificate under another number in the list',
    `UPDATE ledger SET subject = 'C-9' WHERE kind = 'certificate issued'`,
  ],
  ['a line of another day in the list', `UPDATE ledger SET at = at - interval '1 day' WHERE kind = 'signed'`],
  ['the text of a line', `UPDATE ledger SET line = replace(line, 'Ines Okafor', 'Inge Okafor') WHERE kind = 'signed'`],
  ['the head of a line', `UPDATE ledger SET head = sha256(head) WHERE kind = 'signed'`],
  ['a line in the middle removed', `DELETE FROM ledger WHERE kind = 'signed'`],
  ['a header', `UPDATE test SET header = replace(header, 'Tarn', 'Torn') WHERE ${failed}`],
  [
    'a header and its column together',
    `UPDATE test SET header = replace(header, 'WO-2207', 'WO-2208'), work_order = 'WO-2208' WHERE work_order = 'WO-2207'`,
  ],
  [
    'a seal from fail to pass',
    `UPDATE seal SET seal = replace(seal, '"verdict":"fail"', '"verdict":"pass"'), verdict = 'pass' WHERE ${failed}`,
  ],
  [
    'the readings of a test',
    `UPDATE block SET payload = set_byte(payload, 40, get_byte(payload, 40) # 1) WHERE ${failed}`,
  ],
  ['a block removed', `DELETE FROM block WHERE ${failed}`],
  ['a seal removed', `DELETE FROM seal WHERE ${failed}`],
  ['a test removed', `DELETE FROM test WHERE ${failed}`],
  ['a test of another year', `UPDATE test SET year = 2019 WHERE ${failed}`],
];

describe('an archive altered by the owner of its database', () => {
  it(`each of ${statements.length} ways is found by verify --archive, and the honest one has nothing wrong`, async () => {
    expect(await dwellmark('verify', '--archive', server.url('archive', 'auditor'))).toMatchObject({ code: 0 });
    let made = 0;
    const forgeries = statements.map(([name, statement]) => ({
      name,
      of: 'archive' as const,
      must: 'altered' as const,
      check: () => altered(`forged_${made++}`, statement.replaceAll('%FAILED%', shop.failed)),
    }));
    expect(await missed(forgeries)).toEqual([]);
  });

  it('a column is named on the command line, and recall refuses to pass a test over', async () => {
    await asOwner('postgres', 'CREATE DATABASE hidden TEMPLATE archive');
    await asOwner('hidden', `UPDATE test SET gauges = '{}' WHERE test = '${shop.failed}'`);
    const url = server.url('hidden', 'auditor');
    for (const what of [[], [`Bench 1/${shop.failed}`]]) {
      const said = await dwellmark('verify', ...what, '--archive', url);
      expect(said.code).toBe(4);
      expect(said.out.replace(/\s+/g, ' ')).toContain(`test ${shop.failed}, list: the column gauges says , the record`);
    }
    const recalled = await dwellmark('recall', '--gauge', 'HF-40117', '--archive', url);
    expect(recalled).toMatchObject({ code: 4, out: '' });
    expect(recalled.err).toContain('the column gauges');
  });
});

describe('another login of the archive', () => {
  it('holds up no push by a lock', async () => {
    const client = new Client(server.url('archive', 'bench_2'));
    await client.connect();
    await client.query("SELECT pg_advisory_lock(hashtext('dwellmark push'), n) FROM generate_series(1, 50) n");
    await client.query('SET search_path = dwellmark');
    await client.query('BEGIN');
    await client.query('LOCK TABLE ledger, test, block, seal, bench IN ROW EXCLUSIVE MODE');
    await client.query("INSERT INTO bench (name, root) VALUES ('Bench 1', sha256('x'::bytea))");
    try {
      expect(
        await inShop(
          shop.folder,
          ['void', shop.waiting, '--reason', 'x', '--signer', 'qa'],
          ['four grey herons waiting'],
        ),
      ).toMatchObject({ code: 0 });
      const pushed = await inShop(shop.folder, ['archive', 'push']);
      expect(pushed).toMatchObject({ code: 0 });
      expect(pushed.out).toContain('ledger lines');
    } finally {
      await client.query('ROLLBACK');
      await client.end();
    }
  });

  it('takes nobody the name or the root: three shops that are all called Bench 1 push, and are told apart', async () => {
    const squatter = new Client(server.url('archive', 'bench_3'));
    await squatter.connect();
    const [own] = (await squatter.query("SELECT sha256('mine'::bytea) AS root")).rows;
    await squatter.query("INSERT INTO dwellmark.bench (name, root) VALUES ('Bench 1', $1)", [own.root]);
    await squatter.end();
    const second = await pushing(await makeShop(), 'bench_2');
    expect(await inShop(second.folder, ['archive', 'push'])).toMatchObject({ code: 0 });
    expect(await inShop(shop.folder, ['archive', 'push'])).toMatchObject({ code: 0 });
    const own2 = await inShop(second.folder, ['archive', 'status']);
    expect(own2.out).toMatch(/^Bench 1 +3 tests.*\nNothing waits here\./);
    const archive = await openArchive(server.url('archive', 'auditor'));
    const names = (await benches(archive)).map(({ name }) => name);
    await archive.close();
    expect(names).toEqual(['Bench 1 @bench_1', 'Bench 1 @bench_2', 'Bench 1 @bench_3']);
    const url = server.url('archive', 'auditor');
    const lines = JSON.parse((await dwellmark('list', '--archive', url, '--json')).out) as { bench: string }[];
    expect(new Set(lines.map(({ bench }) => bench))).toEqual(new Set(names.slice(0, 2)));
    const shown = await dwellmark('show', `Bench 1 @bench_2/${second.failed}`, '--archive', url);
    expect(shown).toMatchObject({ code: 0 });
    expect((await dwellmark('verify', `Bench 1 @bench_1/${shop.failed}`, '--archive', url)).code).toBe(0);
    rmSync(second.folder, { recursive: true });
  });

  it('a second store under one name of one login, and a name that is none, are told in words', async () => {
    const third = await pushing(await makeShop(), 'bench_1');
    const said = await inShop(third.folder, ['archive', 'push']);
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toContain('the archive has another bench called "Bench 1"');
    const file = path.join(third.folder, 'dwellmark.toml');
    writeFileSync(file, readFileSync(file, 'utf8').replace('bench = "Bench 1"', 'bench = "Hall 2/Bench 1"'));
    expect((await inShop(third.folder, ['archive', 'push'])).err).toContain('is no name of a bench for the archive');
    rmSync(third.folder, { recursive: true });
  });

  it('two pushes of one bench at once bring each row once', async () => {
    const own = await pushing(await makeShop(), 'bench_3');
    const file = path.join(own.folder, 'dwellmark.toml');
    writeFileSync(file, readFileSync(file, 'utf8').replace('bench = "Bench 1"', 'bench = "Bench 3"'));
    const url = server.url('archive', 'bench_3');
    const pushes = [0, 1, 2].map(async () => {
      const store = openStore(path.join(own.folder, 'record.db'), { mode: 'read' });
      const archive = await openArchive(url);
      try {
        return (await push(archive, store, { bench: 'Bench 3' })).to;
      } finally {
        await archive.close();
        store.close();
      }
    });
    const [first, ...others] = await Promise.all(pushes);
    expect(others).toEqual([first, first]);
    const status = await inShop(own.folder, ['archive', 'status']);
    expect(status.out).toContain('Nothing waits here.');
    expect((await inShop(own.folder, ['verify', '--archive'])).code).toBe(0);
    rmSync(own.folder, { recursive: true });
  });
});
