import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openStore, type Store, sha256Hex } from '../../src/record/index.js';
import { type PostgresServer, startPostgres } from '../archive/postgres-server.js';
import { runProgram, withStore } from '../bench-live/bench-process.js';
import { copied, inShop, makeShop, type Shop, words } from '../forgeries/shop.js';
import { seeded } from '../record/sample-test.js';
import { type ActKind, acting } from './acting-process.js';

/** Kills of each kind of act: a few in the usual run; DWELLMARK_KILLS=200 for a campaign. */
const kills = Number(process.env.DWELLMARK_KILLS ?? 2);
const seed = Number(process.env.DWELLMARK_SEED ?? Math.floor(Math.random() * 1e6));
/** Longest time from the first acknowledged act to the kill, ms: about two acts. */
const longestMs = 900;

let shop: Shop;
let server: PostgresServer;
beforeAll(async () => {
  shop = await makeShop();
  server = await startPostgres();
  const url = await server.database('archive');
  expect(await inShop(shop.folder, ['archive', 'prepare', '--archive', url])).toMatchObject({ code: 0 });
  await server.login('bench_1', 'dwellmark_bench');
  const file = path.join(shop.folder, 'dwellmark.toml');
  writeFileSync(
    file,
    `archive = "${server.url('archive', 'bench_1')}"\n${readFileSync(file, 'utf8').replace(/^required = .*$/m, 'required = []')}`,
  );
  writeFileSync(path.join(shop.folder, 'words'), `${words}\n`);
}, 120_000);
afterAll(async () => {
  await server.stop();
  rmSync(shop.folder, { recursive: true, force: true });
});

type Said = Readonly<Record<string, unknown>>;

/** Kills one program after another while a second one imports; gives what was acknowledged. */
async function killed(kind: ActKind, here: string, folder: string): Promise<Said[]> {
  const random = seeded(seed + kind.length);
  const beside = acting('import', here, '', 500);
  await beside.acknowledged;
  const acknowledged: Said[] = [];
  for (let kill = 0; kill < kills; kill += 1) {
    const victim = acting(kind, here, folder);
    await victim.acknowledged;
    await sleep(random() * longestMs);
    expect(victim.process.exitCode).toBe(null);
    victim.process.kill('SIGKILL');
    await victim.ended;
    const acts = victim.acts();
    acknowledged.push(...acts);
    if (kind === 'backup') withStore(here, (store) => checkBackups(store, acts, folder));
  }
  beside.process.kill('SIGKILL');
  await beside.ended;
  expectTests(here, beside.acts());
  return acknowledged;
}

/** Every test that an import said it stored is there, sealed by the head it said. */
function expectTests(here: string, said: readonly Said[]): void {
  withStore(here, (store) => {
    for (const { test, record } of said)
      expect(store.test(String(test)).head, String(test)).toBe((record as { head: string }).head);
  });
}

/** Every copy that was acknowledged is there, and whatever bears a copy's name is a whole one; they go then. */
function checkBackups(store: Store, acts: readonly Said[], folder: string): void {
  const names = readdirSync(folder).filter((file) => file.endsWith('.db'));
  expect(names).toEqual(expect.arrayContaining(acts.map(({ file }) => path.basename(String(file)))));
  for (const name of names) {
    const copy = openStore(path.join(folder, name), { mode: 'read' });
    const { position, head } = copy.ledgerHead();
    expect([...copy.raw.faults()], name).toEqual([]);
    expect(store.raw.ledgerHeadAt(position)).toEqual({ position, head });
    const said = acts.find(({ file }) => path.basename(String(file)) === name);
    if (said !== undefined) expect(said.ledger).toEqual({ position, head });
    copy.close();
  }
  for (const name of readdirSync(folder)) rmSync(path.join(folder, name));
}

const inStore: Readonly<Record<'import' | 'sign' | 'certificate', (store: Store, said: Said) => void>> = {
  import: (store, { test, record }) => expect(store.test(String(test)).head).toBe((record as { head: string }).head),
  sign: (store, { test, value, record }) => {
    if (record !== undefined) return expect(store.has(String(test))).toBe(true);
    expect(store.test(String(test)).signatures.map((signature) => signature.value)).toContain(value);
  },
  certificate: (store, { number, test, file, sha256 }) => {
    if (number === undefined) return expect(store.has(String(test))).toBe(true);
    expect(sha256Hex(readFileSync(String(file)))).toBe(sha256);
    expect(store.certificates().find((one) => one.number === number)?.pdfSha256).toBe(sha256);
  },
};

/** Every paper in the folder bears a number of the ledger, and every number has its paper. */
function expectPapers(store: Store, folder: string): void {
  expect(readdirSync(folder).filter((name) => !name.endsWith('.pdf') || name.startsWith('.'))).toEqual([]);
  const sums = readdirSync(folder).map((name) => sha256Hex(readFileSync(path.join(folder, name))));
  const issued = store.certificates().filter(({ test }) => test !== shop.certified);
  expect(sums.toSorted()).toEqual(issued.map(({ pdfSha256 }) => pdfSha256).toSorted());
}

describe(`${kills} kills after the first acknowledged act, another program importing (seed ${seed})`, () => {
  it.each(['import', 'sign', 'certificate', 'backup'] as const)(
    '%s: nothing acknowledged is lost, nothing is half written',
    async (kind) => {
      const here = copied(shop).folder;
      const folder = mkdtempSync(path.join(tmpdir(), `dwellmark-killed-${kind}-`));
      const acknowledged = await killed(kind, here, folder);
      // The next run clears up after one that was cut off.
      if (kind === 'certificate')
        expect(
          await runProgram(['certificate', '--work-order', 'WO-2207', '-o', folder, '--shop', here]),
        ).toMatchObject({ code: expect.any(Number) });
      withStore(here, (store) => {
        if (kind !== 'backup') for (const said of acknowledged) inStore[kind](store, said);
        if (kind === 'certificate') expectPapers(store, folder);
      });
      const verified = await runProgram(['verify', '--all', '--shop', here]);
      expect(verified.code, verified.said).toBe(0);
      tell(kind, here, acknowledged);
      for (const gone of [here, folder]) rmSync(gone, { recursive: true, force: true });
    },
    3_600_000,
  );

  it('push: the archive holds what it said it holds, and takes the rest', async () => {
    const here = copied(shop).folder;
    const acknowledged = await killed('push', here, '');
    const said = Math.max(...acknowledged.map(({ to }) => (to as { position: number }).position));
    const { benches } = JSON.parse((await inShop(here, ['archive', 'status', '--json'])).out) as {
      benches: { position: number }[];
    };
    expect(benches[0]?.position).toBeGreaterThanOrEqual(said);
    expect(await runProgram(['archive', 'push', '--shop', here])).toMatchObject({ code: 0 });
    const verified = await runProgram(['verify', '--archive', '--shop', here]);
    expect(verified.code, verified.said).toBe(0);
    const head = withStore(here, (store) => store.ledgerHead());
    const after = JSON.parse((await inShop(here, ['archive', 'status', '--json'])).out) as { benches: unknown[] };
    expect(after.benches).toMatchObject([head]);
    expect(await runProgram(['verify', '--all', '--shop', here])).toMatchObject({ code: 0 });
    tell('push', here, acknowledged);
    rmSync(here, { recursive: true, force: true });
  }, 3_600_000);
});

function tell(kind: ActKind, here: string, acknowledged: readonly Said[]): void {
  const [tests, unsealed] = withStore(here, (store) => [store.tests().length, store.unfinished().length]);
  process.stderr.write(
    `${kind}: ${kills} kills, ${acknowledged.length} acts acknowledged, none lost; ${tests} tests, ${unsealed} cut off and never sealed\n`,
  );
}
