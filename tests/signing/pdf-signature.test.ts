import { createPrivateKey, X509Certificate } from 'node:crypto';
import { join } from 'node:path';
import PDFDocument from 'pdfkit';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  createShopIdentity,
  type PdfSignatureReport,
  reserveSignature,
  type ShopIdentity,
  signPdf,
  verifyPdfSignature,
  withoutSignature,
} from '../../src/signing/index.js';
import { makeLeaf, makeRoot } from '../../src/signing/pdf/certificates.js';
import { issuedAt, recordJson, sampleDocument, scratchFolder, withByte } from './sample-document.js';

const folder = scratchFolder();
let identity: ShopIdentity;
let stranger: ShopIdentity;
let unsigned: Buffer;
let signed: Buffer;

beforeAll(async () => {
  const now = issuedAt;
  identity = await createShopIdentity({
    dir: join(folder.path, 'shop'),
    shopName: 'Harrow Lane Hydraulics',
    now,
    passphrase: 'four grey herons waiting',
  });
  stranger = await createShopIdentity({
    dir: join(folder.path, 'other'),
    shopName: 'Harrow Lane Hydraulics',
    now,
    passphrase: 'four grey herons waiting',
  });
  unsigned = await sampleDocument();
  signed = await signPdf(unsigned, identity);
});
afterAll(() => folder.remove());

const check = (pdf: Buffer, by: ShopIdentity = identity): Promise<PdfSignatureReport> =>
  verifyPdfSignature(pdf, { trustedRootPem: by.root.toString() });

describe('a signed PDF', () => {
  test('is found whole, signed by the shop at the stated time, and trusted under its root', async () => {
    expect(await check(signed)).toEqual({
      present: true,
      coversWholeFile: true,
      digestOk: true,
      signatureOk: true,
      trusted: true,
      signer: 'Harrow Lane Hydraulics',
      signedAt: '2026-03-02T10:15:00.000Z',
      rootPem: identity.root.toString(),
      problems: [],
    });
  });

  test('without a root to trust, is neither trusted nor distrusted', async () => {
    expect(await verifyPdfSignature(signed)).toMatchObject({ trusted: null, signatureOk: true, problems: [] });
  });

  test('has the length of the unsigned one and differs from it only in the byte range and the signature', () => {
    expect(signed.length).toBe(unsigned.length);
    expect(signed.equals(unsigned)).toBe(false);
    expect(withoutSignature(signed).equals(unsigned)).toBe(true);
  });

  test('is the same unsigned document byte for byte when it is made again', async () => {
    expect((await sampleDocument()).equals(unsigned)).toBe(true);
  });

  test('may speak of byte ranges and file ends in its own title and attachments', async () => {
    const title = '/ByteRange [0 1 2 3] /Contents <00> startxref 9 %%EOF';
    const pdf = await sampleDocument({ title, compress: false, attachments: { 'record.json': Buffer.from(title) } });
    expect(await check(await signPdf(pdf, identity))).toMatchObject({ trusted: true, problems: [] });
  });

  test('may name a shop with umlauts, brackets and Cyrillic', async () => {
    const shopName = 'Прокладка (Süd) \\ Größe';
    const own = await createShopIdentity({
      dir: join(folder.path, 'south'),
      shopName,
      now: issuedAt,
      passphrase: 'four grey herons waiting',
    });
    const pdf = await signPdf(await sampleDocument({ field: { name: shopName, reason: 'Prüfschein (1)' } }), own);
    expect(await check(pdf, own)).toMatchObject({ trusted: true, problems: [], signer: shopName });
  });
});

describe('signing is refused', () => {
  test('for a PDF without a field, and for one that is signed already', async () => {
    const bare = await sampleDocument({ field: null });
    await expect(signPdf(bare, identity)).rejects.toMatchObject({ code: 'refused', message: /no signature field/ });
    await expect(signPdf(signed, identity)).rejects.toMatchObject({ code: 'refused', message: /signed already/ });
  });

  test('for a date before or after the validity of the certificate', async () => {
    for (const date of [new Date('2026-03-01T23:59:59Z'), new Date('2036-03-03T00:00:00Z')]) {
      const pdf = await sampleDocument({ field: { date } });
      await expect(signPdf(pdf, identity)).rejects.toMatchObject({ code: 'refused', message: /valid from/ });
    }
  });

  test('when the room is too small, and a second field is never added', async () => {
    const pdf = await sampleDocument({ field: { size: 300 } });
    await expect(signPdf(pdf, identity)).rejects.toThrow(/does not fit into 300/);
    const doc = new PDFDocument();
    const field = { name: 'a', reason: 'b', date: issuedAt };
    reserveSignature(doc, field);
    expect(() => reserveSignature(doc, field)).toThrow(/a signature field already/);
  });
});

describe('a PDF that is not what the shop signed', () => {
  const contentsAt = (): number => signed.indexOf('/Contents <') + '/Contents '.length;

  test('has no signature, or an empty field', async () => {
    expect((await check(await sampleDocument({ field: null }))).problems).toEqual(['this PDF has no signature']);
    expect(await check(unsigned)).toMatchObject({ present: false, problems: [/never signed/] });
  });

  test('has one byte of a page or an attachment changed', async () => {
    const at = signed.indexOf('stream') + 20;
    const report = await check(withByte(signed, at, (signed[at] ?? 0) ^ 1));
    expect(report).toMatchObject({ present: true, coversWholeFile: true, digestOk: false });
    expect(report.problems).toContain('the file was altered after it was signed');
  });

  test('has something appended: a line, or an update in the way PDF allows', async () => {
    const line = Buffer.concat([signed, Buffer.from('\n')]);
    expect(await check(line)).toMatchObject({ coversWholeFile: false, digestOk: true, signatureOk: true });
    const xref = signed.lastIndexOf('startxref');
    const previous = signed.toString('latin1', xref + 10, signed.length - 7).trim();
    const at = signed.length + '1 0 obj\n<< /Type /Catalog >>\nendobj\n'.length;
    const update = `1 0 obj\n<< /Type /Catalog >>\nendobj\nxref\n1 1\n${String(signed.length).padStart(10, '0')} 00000 n \ntrailer\n<< /Size 99 /Root 1 0 R /Prev ${previous} >>\nstartxref\n${at}\n%%EOF\n`;
    const report = await check(Buffer.concat([signed, Buffer.from(update)]));
    expect(report.problems).toEqual([expect.stringContaining('something was added after it was written')]);
    expect(report).toMatchObject({ present: false, coversWholeFile: false, trusted: false });
  });

  test('has a byte range that leaves something out', async () => {
    const range = /\/ByteRange \[(\d+) (\d+) (\d+) (\d+) *\]/.exec(signed.toString('latin1'));
    const [whole = '', , before = '', after = '', rest = ''] = range ?? [];
    for (const numbers of [
      [1, Number(before) - 1, after, rest],
      [0, before, after, Number(rest) - 1],
      [0, before, Number(after) + 1, Number(rest) - 1],
      [0, Number(before) - 9, after, rest],
    ]) {
      const text = `/ByteRange [${numbers.join(' ').padEnd(whole.length - '/ByteRange []'.length)}]`;
      const copy = Buffer.from(signed);
      copy.write(text, signed.indexOf(whole), 'latin1');
      expect(await check(copy)).toMatchObject({ coversWholeFile: false, digestOk: false });
    }
  });

  test('has a signature spelled otherwise: a capital hex digit, a digit in the room behind it, a blank', async () => {
    const at = contentsAt();
    const letter = signed.toString('latin1', at).search(/[a-f]/) + at;
    const end = signed.indexOf('>', at);
    for (const changed of [
      withByte(signed, letter, (signed[letter] ?? 0) - 32),
      withByte(signed, end - 3, 0x31),
      withByte(signed, end - 1, 0x20),
    ]) {
      const report = await check(changed);
      expect(report.signatureOk).toBe(false);
      expect(report.problems.length).toBeGreaterThan(0);
    }
  });

  test('is signed by someone who gave himself the same name', async () => {
    const report = await check(await signPdf(unsigned, stranger));
    expect(report).toMatchObject({
      digestOk: true,
      signatureOk: true,
      trusted: false,
      signer: 'Harrow Lane Hydraulics',
    });
    expect(report.problems).toEqual(['the certificate was not issued under the root that is trusted here']);
  });

  test('brings the true root along, and a certificate that this root did not issue', async () => {
    const impostor = { root: identity.root, leaf: stranger.leaf, key: stranger.key };
    expect(await check(await signPdf(unsigned, impostor))).toMatchObject({
      trusted: false,
      problems: ['the certificate was not issued by the root beside it'],
    });
  });

  test('is signed with the true certificate and another key', async () => {
    const forged = { ...identity, key: stranger.key };
    expect(await check(await signPdf(unsigned, forged))).toMatchObject({
      digestOk: true,
      signatureOk: false,
      trusted: false,
    });
  });

  test('is signed with a certificate that had run out', async () => {
    const now = new Date('2020-01-01T00:00:00Z');
    const wish = { commonName: 'Old', organisation: 'Old', notBefore: now, years: 25 };
    const root = await makeRoot(wish);
    const rootKey = createPrivateKey({ key: root.privateKey, format: 'der', type: 'pkcs8' });
    const issuer = { certificate: root.certificate, privateKey: rootKey };
    const leaf = await makeLeaf({ ...wish, years: 5 }, issuer);
    const old = {
      root: new X509Certificate(root.certificate),
      leaf: new X509Certificate(leaf.certificate),
      key: createPrivateKey({ key: leaf.privateKey, format: 'der', type: 'pkcs8' }),
    };
    // Signed within its time, then the stated time moved on together with everything else but the certificate.
    const pdf = await sampleDocument({ field: { date: new Date('2024-12-31T12:00:00Z') } });
    expect(await check(await signPdf(pdf, old), old)).toMatchObject({ trusted: true });
    const pretending = Object.create(old.leaf, {
      validFrom: { value: old.leaf.validFrom },
      validTo: { value: 'Jan  1 00:00:00 2030 GMT' },
      raw: { value: old.leaf.raw },
    });
    const late = await signPdf(unsigned, { ...old, leaf: pretending });
    expect(await check(late, old)).toMatchObject({
      signatureOk: true,
      trusted: false,
      problems: ['the certificate was not valid at the stated time'],
    });
  });

  test('is no PDF, or the first half of one', async () => {
    for (const pdf of [recordJson, Buffer.alloc(0), signed.subarray(0, signed.length / 2)]) {
      expect(await check(pdf)).toMatchObject({ present: false, trusted: false, problems: [expect.any(String)] });
    }
    expect(await check(signed.subarray(0, -7))).toMatchObject({
      coversWholeFile: false,
      digestOk: false,
      trusted: false,
    });
  });

  test('is checked against a root that is none: wrong input, not a verdict', async () => {
    await expect(verifyPdfSignature(signed, { trustedRootPem: 'x' })).rejects.toMatchObject({ code: 'input' });
  });
});
