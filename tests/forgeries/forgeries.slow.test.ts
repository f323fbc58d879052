import { mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { judgeStored, signedByKnown, verifyBundle, verifyPdf } from '../../src/audit/index.js';
import { softwareVersion } from '../../src/bench/index.js';
import { noChanges } from '../../src/certificate/words/said.js';
import { openPage, pageProgram, verifyPage, writePage } from '../../src/page/index.js';
import { testPage } from '../../src/quality/index.js';
import { dwellmark } from '../cli/command-line.js';
import { alterations } from '../page/browser/alterations.js';
import { longHoldBundle, longHoldHeader } from '../page/long-hold.js';
import { type Forgery, missed } from './forgery.js';
import { type HonestShop, honestShop } from './honest-shop.js';
import { attachedNames, pdfForgeries } from './pdf-forgeries.js';
import { made, words as passphrase } from './shop.js';

const scratch = mkdtempSync(path.join(tmpdir(), 'dwellmark-forger-'));
let honest: HonestShop;
let program = '';

beforeAll(async () => {
  honest = await honestShop();
  program = await pageProgram();
}, 120_000);
afterAll(() => {
  honest.remove();
  rmSync(scratch, { recursive: true, force: true });
});

const checkedPage = (html: string) => verifyPage(html, judgeStored, program, softwareVersion);

async function pageOf(test: string): Promise<string> {
  return honest.store(async (store) => {
    const parts: Uint8Array[] = [];
    for await (const part of testPage(store, test, honest.shop)) parts.push(part);
    return Buffer.concat(parts).toString('utf8');
  });
}

describe('what was forged', () => {
  it('is found in every PDF, and the shop’s own papers are in order', async () => {
    expect(attachedNames(honest.pass.pdf)).toEqual(['paper.json', 'record.json', 'trace.csv']);
    for (const { pdf } of [honest.pass, honest.fail])
      expect(await verifyPdf(pdf, judgeStored, honest.rootPem)).toMatchObject({ problems: [], unproven: [] });
    mkdirSync(path.join(scratch, 'stranger'));
    const forgeries = await pdfForgeries(honest, path.join(scratch, 'stranger'));
    expect(forgeries.length).toBeGreaterThanOrEqual(50);
    expect(await missed(forgeries)).toEqual([]);
  }, 300_000);

  it('is found in every page, whatever word is put for another in it', async () => {
    const page = await pageOf(honest.fail.test);
    expect(checkedPage(page).problems).toEqual([]);
    const words: readonly (readonly [string, string])[] = [
      ['Fail', 'Pass'],
      ['fail', 'pass'],
      ['did not meet its limit or showed a leak', 'met its limit'],
      ['Readings imported from', 'Readings taken at'],
      ['TQ-3394', 'TQ-3381'],
      ['Ines Okafor', 'Inge Okafor'],
      ['report', 'certificate'],
      ['"language":"en"', '"language":"de"'],
      ['"words":{"said":{}', '"words":{"said":{"verdict.fail":"Pass"}'],
      ['"program":"', '"program":"9'],
    ];
    const swapped = words.map(([from, to]): Forgery => {
      const html = page.replaceAll(from, to);
      if (html === page) throw new Error(`the page does not say "${from}"`);
      const must = from === '"program":"' ? 'unproven' : 'altered';
      return { name: `${from} for ${to}`, of: 'page', must, check: async () => checkedPage(html) };
    });
    expect(await missed(swapped)).toEqual([]);
  }, 120_000);

  it('is found in each of fifty pages and in the records of them by themselves', async () => {
    const header = longHoldHeader('T-2026-0001', 120);
    const bundle = longHoldBundle(path.join(scratch, 'long.db'), header, 10);
    const setting = {
      language: 'en',
      units: 'bar',
      words: noChanges,
      procedureIsTemplate: true,
      writtenAt: '2026-03-03T10:00:00+01:00',
      program: softwareVersion,
    } as const;
    const all = alterations({ html: writePage(bundle, setting, program), bundle, setting, program });
    const pages = all.map(
      ({ name, html }): Forgery => ({ name, of: 'page', must: 'altered', check: async () => checkedPage(html) }),
    );
    const bundles = all
      .filter(({ of }) => of === 'record')
      .map(
        ({ name, html }): Forgery => ({
          name,
          of: 'bundle',
          must: 'altered',
          check: async () => verifyBundle(openPage(html).bundle, judgeStored),
        }),
      );
    expect(bundles.length).toBeGreaterThanOrEqual(25);
    expect(await missed([...pages, ...bundles])).toEqual([]);
    const alone = verifyBundle(bundle, judgeStored);
    expect(signedByKnown(alone, []).unproven.join()).toContain('who signed is not known');
    const keys = alone.about?.signatures.map(({ key }) => key.replace(/.{4}(?=.)/g, '$& ')) ?? [];
    expect(signedByKnown(alone, keys).unproven).toEqual([]);
    expect(signedByKnown(alone, keys.slice(1)).unproven).toHaveLength(1);
  }, 300_000);

  it('is named when the shop struck it out since: by the file in the shop, and as an anchor', async () => {
    const { pass, folder } = honest;
    await made(folder, ['void', pass.number, '--signer', 'qa', '--reason', 'wrong gauge'], [passphrase]);
    const said = await dwellmark('verify', pass.file, '--shop', folder, '--root', path.join(folder, 'root.pem'));
    expect(said).toMatchObject({ code: 6 });
    expect(said.out).toMatch(/declared void on .* by\s+Ines\s+Okafor:\s+wrong\s+gauge/);
    const all = await dwellmark('verify', '--all', '--anchor', pass.file, '--shop', folder);
    expect(all).toMatchObject({ code: 6 });
    expect(all.out).toContain('wrong gauge');
    expect(readFileSync(pass.file).equals(pass.pdf)).toBe(true);
  }, 120_000);
});
