import { execFileSync } from 'node:child_process';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type HonestShop, honestShop } from '../forgeries/honest-shop.js';
import { unanswered } from './report-clauses.js';

describe('an issued certificate and a test report, read by pdftotext, against ISO/IEC 17025:2017, 7.8', () => {
  let shop: HonestShop;
  beforeAll(async () => {
    shop = await honestShop();
  }, 120_000);
  afterAll(() => shop.remove());

  it.each(['pass', 'fail'] as const)('the paper of a %s answers every letter', async (which) => {
    const { file, test, number } = shop[which];
    const text = execFileSync('pdftotext', ['-raw', file, '-'], { encoding: 'utf8' });
    const facts = await shop.store(async (store) => {
      const { header, result, signatures, certificates } = store.test(test);
      const issued = certificates.find((one) => one.number === number);
      if (!result || !issued) throw new Error(`${test} has no result, or no paper ${number}`);
      return {
        number,
        header,
        result,
        issuedAt: issued.issuedAt,
        signers: signatures.map(({ signer }) => signer.name),
      };
    });
    expect(facts.signers).not.toEqual([]);
    expect(unanswered(text, facts)).toEqual([]);
  });
});
