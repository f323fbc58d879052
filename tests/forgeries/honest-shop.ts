import { readFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import { readShop, type Shop } from '../../src/bench/index.js';
import { openStore, type Store } from '../../src/record/index.js';
import { made, makeShop, words } from './shop.js';

/** A shop with a pass and a fail of two cylinders, both signed, both with their papers, and its root. */
export interface HonestShop {
  readonly folder: string;
  readonly shop: Shop;
  readonly pass: HonestPaper;
  readonly fail: HonestPaper;
  readonly rootPem: string;
  store<Result>(work: (store: Store) => Promise<Result>): Promise<Result>;
  remove(): void;
}

export interface HonestPaper {
  readonly test: string;
  readonly number: string;
  readonly file: string;
  readonly pdf: Buffer;
}

export async function honestShop(): Promise<HonestShop> {
  const { folder, failed, certified, certificate } = await makeShop();
  await made(folder, ['sign', failed, '--signer', 'qa', '--meaning', 'reviewed and released'], [words]);
  const file = path.join(folder, 'report.pdf');
  const report = JSON.parse(await made(folder, ['certificate', failed, '-o', file])) as { number: string };
  await made(folder, ['certificate', '--root', path.join(folder, 'root.pem')]);
  const shop = readShop(path.join(folder, 'dwellmark.toml'));
  const paper = (test: string, number: string, place: string): HonestPaper => {
    return { test, number, file: place, pdf: readFileSync(place) };
  };
  return {
    folder,
    shop,
    pass: paper(certified, certificate, path.join(folder, 'paper.pdf')),
    fail: paper(failed, report.number, file),
    rootPem: readFileSync(path.join(folder, 'root.pem'), 'utf8'),
    store: async (work) => {
      const store = openStore(shop.database, { mode: 'read' });
      try {
        return await work(store);
      } finally {
        store.close();
      }
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}
