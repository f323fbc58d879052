import { existsSync, rmSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { readShop } from '../../src/bench/index.js';
import { signByForm, voidByForm } from '../../src/desk/acts.js';
import type { Desk } from '../../src/desk/desk.js';
import { openStore, type Store, type TestWriter } from '../../src/record/index.js';
import { inShop, made, makeShop, type Shop, words } from '../forgeries/shop.js';

let shop: Shop;
let store: Store;
let running: TestWriter;

beforeAll(async () => {
  shop = await makeShop();
  store = openStore(path.join(shop.folder, 'record.db'), { mode: 'write' });
  const { header } = store.test(shop.waiting);
  running = store.beginNextTest((test) => ({ ...header, test, origin: 'live' }));
}, 60_000);
afterAll(() => {
  store.close();
  rmSync(shop.folder, { recursive: true, force: true });
});

/** A second of the running test. */
function goOn(): void {
  const before = running.stored.readings;
  let taken = 0;
  for (const input of store.inputs(shop.waiting)) if (taken++ >= before && taken <= before + 20) running.append(input);
  running.flush();
  expect(running.stored.readings).toBeGreaterThan(before);
}

it('while a test runs, people are enrolled, sign, void and print beside it, at the desk and in the terminal', async () => {
  goOn();
  await made(shop.folder, ['signer', 'add', 'wim', '--name', 'Wim Dray', '--role', 'witness'], [words]);
  goOn();
  const desk = { shop: readShop(path.join(shop.folder, 'dwellmark.toml')), now: () => new Date() } as unknown as Desk;
  const given = { signer: 'qa', passphrase: words, meaning: 'reviewed and released' };
  const { head } = store.test(shop.waiting);
  expect(await signByForm(desk, shop.waiting, { ...given, head: 'another' })).toMatchObject({ good: false });
  expect(await signByForm(desk, shop.waiting, { ...given, head: head ?? '' })).toMatchObject({ good: true });
  goOn();
  const paper = path.join(shop.folder, 'beside.pdf');
  await made(shop.folder, ['certificate', shop.waiting, '-o', paper]);
  expect(existsSync(paper)).toBe(true);
  expect(await voidByForm(desk, shop.failed, { ...given, reason: 'wrong cylinder' })).toMatchObject({ good: true });
  goOn();
  const resumed = await inShop(shop.folder, ['test', '--resume', '--unattended']);
  expect(resumed.out).toContain('No test was cut off');
  const { result } = store.test(shop.waiting);
  if (!result) throw new Error('no result');
  running.finish(result);
  const verified = JSON.parse((await inShop(shop.folder, ['verify', '--all', '--json'])).out) as {
    problems: { where: string }[];
  };
  // The verdict was borrowed from another test; everything else is in order.
  expect(verified.problems.filter(({ where }) => !where.endsWith('verdict'))).toEqual([]);
});
