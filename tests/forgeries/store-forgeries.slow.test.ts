import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openStore } from '../../src/record/index.js';
import { unlockSigner } from '../../src/signing/index.js';
import { ownerText } from '../../src/signing/people/person-file.js';
import { openKey, sealKey } from '../../src/signing/people/sealed-key.js';
import { behindItsBack } from '../audit/behind-its-back.js';
import { copied, inShop, makeShop, type Shop, words } from './shop.js';
import { storeForgeries } from './store-forgeries.js';

let shop: Shop;
beforeAll(async () => {
  shop = await makeShop();
}, 60_000);
afterAll(() => rmSync(shop.folder, { recursive: true, force: true }));

const ledgerEnd = ({ folder }: Shop): number => {
  const store = openStore(path.join(folder, 'record.db'), { mode: 'read' });
  try {
    return store.ledgerHead().position;
  } finally {
    store.close();
  }
};

describe('nothing acts on a record that was altered', () => {
  it.each(storeForgeries)('$name', async ({ forge, told }) => {
    const forged = copied(shop);
    const { folder, failed } = forged;
    try {
      behindItsBack(path.join(folder, 'record.db'), (db) => forge(db, forged));
      const before = ledgerEnd(forged);
      const verified = await inShop(folder, ['verify', '--all']);
      expect(verified.code).toBe(4);
      expect(verified.out).toMatch(told);
      for (const [args, typed] of [
        [['sign', failed, '--signer', 'qa', '--meaning', 'reviewed and released'], [words]],
        [['certificate', failed, '--draft', '-o', path.join(folder, 'x.pdf')], undefined],
        [['void', failed, '--reason', 'wrong cylinder', '--signer', 'qa'], [words]],
        [['recall', '--gauge', 'HF-40117'], undefined],
        [['show', failed], undefined],
        [['export', failed, '--format', 'csv'], undefined],
      ] as const) {
        const said = await inShop(folder, args, typed);
        expect(said, args[0]).toMatchObject({ code: 4, out: '' });
        expect(said.err).toContain('was altered');
      }
      expect(ledgerEnd(forged)).toBe(before);
      // A list is refused, or says what it said before.
      const [honest, listed] = [
        await inShop(shop.folder, ['list', '--json']),
        await inShop(folder, ['list', '--json']),
      ];
      if (listed.code === 0) expect(listed.out).toBe(honest.out);
      else expect(listed).toMatchObject({ code: 4, out: '' });
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  it('the same acts on the same record, unaltered, are done', async () => {
    const honest = copied(shop);
    const { folder, failed } = honest;
    expect(await inShop(folder, ['verify', '--all'])).toMatchObject({ code: 0 });
    const recalled = await inShop(folder, ['recall', '--gauge', 'HF-40117', '--json']);
    expect(JSON.parse(recalled.out).tests).toHaveLength(3);
    const signed = await inShop(folder, ['sign', failed, '--signer', 'qa', '--meaning', 'rejected'], [words]);
    expect(signed).toMatchObject({ code: 0 });
    const paper = await inShop(folder, ['certificate', failed, '-o', path.join(folder, 'report.pdf')]);
    expect(paper).toMatchObject({ code: 0 });
    rmSync(folder, { recursive: true });
  });
});

describe('an INSERT that something swallows', () => {
  it.each([
    ["INSERT ON ledger WHEN NEW.kind LIKE '%void%'", 'BEFORE', 'RAISE(IGNORE)'],
    ['INSERT ON seal', 'BEFORE', 'RAISE(IGNORE)'],
    ['INSERT ON header', 'BEFORE', 'RAISE(IGNORE)'],
    ['INSERT ON fresh', 'BEFORE', 'RAISE(IGNORE)'],
    ['INSERT ON block', 'BEFORE', 'RAISE(IGNORE)'],
    ['DELETE ON fresh', 'BEFORE', 'RAISE(IGNORE)'],
  ])('%s: is an error, and nothing half is stored', async (on, when, what) => {
    const forged = copied(shop);
    const file = path.join(forged.folder, 'record.db');
    behindItsBack(file, (db) => db.exec(`CREATE TRIGGER swallow ${when} ${on} BEGIN SELECT ${what}; END`));
    const before = ledgerEnd(forged);
    const store = openStore(file, { mode: 'write' });
    try {
      const act = (): unknown => {
        if (on.includes('void')) return store.voidTest(forged.failed, { by: 'x', reason: 'y' });
        const header = { ...store.test(forged.failed).header, test: 'T-2030-0001' };
        const writer = store.beginTest(header);
        for (const input of store.inputs(forged.failed)) writer.append(input);
        const { result } = store.test(forged.failed);
        if (!result) throw new Error('no result');
        return writer.finish(result);
      };
      expect(act).toThrow(/did not take an entry/);
    } finally {
      store.close();
    }
    const kept = openStore(file, { mode: 'read' });
    expect(kept.acts('test voided')).toEqual([]);
    expect(kept.acts('test sealed', { test: 'T-2030-0001' })).toEqual([]);
    expect(kept.ledgerHead().position - before).toBeLessThan(2);
    kept.close();
    rmSync(forged.folder, { recursive: true });
  });
});

describe('a key file', () => {
  it('that its owner sealed anew with another role signs nothing in that role', async () => {
    const forged = copied(shop);
    const { folder, waiting } = forged;
    const keys = path.join(folder, 'keys');
    const added = await inShop(
      folder,
      ['signer', 'add', 'mo', '--name', 'Mo Arden', '--role', 'technician'],
      [words, 'a passphrase of its own'],
    );
    expect(added).toMatchObject({ code: 0 });
    resealAs(keys, 'mo', 'a passphrase of its own', 'qa');
    expect(unlockSigner(keys, 'mo', 'a passphrase of its own').signer.role).toBe('qa');
    for (const meaning of ['reviewed and released', 'performed']) {
      const said = await inShop(
        folder,
        ['sign', waiting, '--signer', 'mo', '--meaning', meaning],
        ['a passphrase of its own'],
      );
      expect(said.code).not.toBe(0);
      expect(said.err).toMatch(/role|only Marek Dunn/);
    }
    rmSync(folder, { recursive: true });
  });
});

/** What a person who knows the own passphrase can do to the own key file. */
function resealAs(keys: string, id: string, passphrase: string, role: string): void {
  const file = path.join(keys, `${id}.person.json`);
  const person = JSON.parse(readFileSync(file, 'utf8'));
  const key = openKey(person.privateKey, passphrase, ownerText(person.signer));
  if (!key) throw new Error('the key does not open');
  const signer = { ...person.signer, role };
  writeFileSync(file, JSON.stringify({ ...person, signer, privateKey: sealKey(key, passphrase, ownerText(signer)) }));
}
