import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { dwellmark } from '../cli/command-line.js';
import { deskShop } from '../desk/desk-shop.js';
import { type PostgresServer, startPostgres } from './postgres-server.js';

let server: PostgresServer;
let shop: { folder: string; tests: string[] };
let url = '';
const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-archived-'));

beforeAll(async () => {
  server = await startPostgres();
  url = await server.database('archive');
  shop = await deskShop();
  const file = path.join(shop.folder, 'dwellmark.toml');
  await dwellmark('archive', 'prepare', '--archive', url);
  await server.login('bench_1', 'dwellmark_bench');
  writeFileSync(file, `archive = "${server.url('archive', 'bench_1')}"\n${readFileSync(file, 'utf8')}`);
}, 120_000);

afterAll(async () => {
  await server.stop();
  for (const gone of [folder, shop.folder]) rmSync(gone, { recursive: true, force: true });
});

const here = (...args: string[]) => dwellmark(...args, '--shop', shop.folder);
const json = async (...args: string[]): Promise<unknown> => JSON.parse((await here(...args, '--json')).out);

describe('the archive on the command line', () => {
  it('takes what waits, and then has nothing waiting', async () => {
    expect((await here('archive', 'status')).out).toMatch(/wait here: dwellmark archive push/);
    const pushed = await here('archive', 'push');
    expect(pushed).toMatchObject({ code: 0 });
    expect(pushed.out).toMatch(/"Bench 1": ledger lines 1 to \d+ and 2 sealed tests are in the archive/);
    expect((await here('archive', 'push')).out).toMatch(/holds all of "Bench 1"/);
    expect((await here('archive', 'status')).out).toMatch(/Bench 1 +2 tests.*\nNothing waits here\./);
  });

  it('lists and shows across benches as the bench itself does', async () => {
    const lines = (await json('list', '--archive')) as { bench: string; test: string }[];
    expect(lines.map(({ bench, test }) => `${bench}/${test}`)).toEqual(
      shop.tests.map((test) => `Bench 1/${test}`).reverse(),
    );
    const [first = ''] = shop.tests;
    const there = (await here('show', `Bench 1/${first}`, '--archive', '--json')).out;
    expect(JSON.parse(there)).toEqual(await json('show', first));
    expect((await here('show', first, '--archive')).err).toMatch(/names no test of the archive/);
    expect((await here('show', 'Bench 9/T-2026-0001', '--archive')).err).toMatch(/no bench "Bench 9"/);
  });

  it('verifies one test and every bench', async () => {
    expect(await here('verify', `Bench 1/${shop.tests[0]}`, '--archive')).toMatchObject({ code: 0 });
    const all = await here('verify', '--archive');
    expect(all).toMatchObject({ code: 0 });
    expect(all.out).toContain('Nothing checked was altered.');
    expect(all.err).toMatch(/Bench 1: 2 tests/);
  });

  it('recalls a gauge across benches, and leaves decisions to the bench', async () => {
    const [{ gauge = '' } = {}] = (await json('list')) as { gauge?: string }[];
    const { tests } = (await json('recall', '--gauge', gauge, '--archive')) as { tests: { test: string }[] };
    expect(tests.map(({ test }) => test)).toEqual(shop.tests.map((test) => `Bench 1/${test}`));
    const refused = await here('recall', '--gauge', gauge, '--archive', '--void', '--reason', 'x', '--all');
    expect(refused).toMatchObject({ code: 2 });
  });

  it('gives a bench its record back, which verifies as the one it pushed', async () => {
    const file = path.join(folder, 'back.db');
    expect(await here('archive', 'pull', 'Bench 1', '-o', file)).toMatchObject({ code: 0 });
    expect(await here('archive', 'pull', 'Bench 1', '-o', file)).toMatchObject({ code: 2 });
    const other = path.join(folder, 'dwellmark.toml');
    writeFileSync(other, 'name = "Harrow Fell Hydraulics"\ndatabase = "back.db"\n');
    const verified = await dwellmark('verify', '--all', '--shop', folder);
    expect(verified).toMatchObject({ code: 0 });
  });

  it('says in words where no archive is named, and where nobody answers', async () => {
    expect(await dwellmark('list', '--archive', '--shop', folder)).toMatchObject({ code: 2 });
    const nobody = await dwellmark('list', '--archive', 'postgres://bench_1@127.0.0.1:1/archive', '--shop', folder);
    expect(nobody).toMatchObject({ code: 2 });
    expect(nobody.err.trim().split('\n').length).toBeLessThanOrEqual(3);
  });
});
