import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createShopIdentity, exportRootPem, type ShopIdentity, signPdf } from '../../src/signing/index.js';
import { issuedAt, recordJson, sampleDocument, scratchFolder, traceCsv, withByte } from '../signing/sample-document.js';

/**
 * What other programs say of a PDF signed here: pdfsig and pdfdetach (Debian poppler-utils), certutil
 * (libnss3-tools), qpdf and openssl. Not one line of ours takes part in their answers.
 */
const folder = scratchFolder();
const path = (name: string): string => join(folder.path, name);
let identity: ShopIdentity;
let signed: Buffer;

beforeAll(async () => {
  identity = await createShopIdentity({
    dir: path('shop'),
    shopName: 'Harrow Lane Hydraulics',
    now: issuedAt,
    passphrase: 'four grey herons waiting',
  });
  signed = await signPdf(await sampleDocument(), identity);
  writeFileSync(path('signed.pdf'), signed);
});
afterAll(() => folder.remove());

const pdfsig = (...args: string[]): string => execFileSync('pdfsig', args, { encoding: 'utf8' });

/** A certificate database with these roots trusted for signatures. */
function trusting(name: string, ...roots: string[]): string {
  const database = `sql:${path(name)}`;
  mkdirSync(path(name));
  execFileSync('certutil', ['-N', '-d', database, '--empty-password']);
  for (const [index, root] of roots.entries()) {
    execFileSync('certutil', ['-A', '-d', database, '-n', `root ${index}`, '-t', ',C,'], { input: root });
  }
  return database;
}

/** Byte range and signature as a shell script would cut them out. */
function cut(pdf: Buffer): { content: Buffer; signature: Buffer } {
  const [, o1, l1, o2, l2] = (/\/ByteRange \[(\d+) (\d+) (\d+) (\d+)/.exec(pdf.toString('latin1')) ?? []).map(Number);
  if (o1 === undefined || l1 === undefined || o2 === undefined || l2 === undefined) throw new Error('no byte range');
  const content = Buffer.concat([pdf.subarray(o1, o1 + l1), pdf.subarray(o2, o2 + l2)]);
  return { content, signature: Buffer.from(pdf.toString('latin1', o1 + l1 + 1, o2 - 1), 'hex') };
}

describe('pdfsig', () => {
  test('finds the signature valid and the whole document signed, by the shop, with SHA-256, in PAdES form', () => {
    const words = pdfsig(path('signed.pdf'));
    expect(words).toContain('Signature is Valid.');
    expect(words).toContain('Total document signed');
    expect(words).toContain('Signer Certificate Common Name: Harrow Lane Hydraulics');
    expect(words).toContain('Signer full Distinguished Name: CN=Harrow Lane Hydraulics,O=Harrow Lane Hydraulics');
    expect(words).toContain('Signing Hash Algorithm: SHA-256');
    expect(words).toContain('Signature Type: ETSI.CAdES.detached');
    expect(words.match(/Signature #/g)).toHaveLength(1);
  });

  test('trusts it once the root is imported, and not with the root of another shop of the same name', async () => {
    const words = pdfsig('-nssdir', trusting('nss', exportRootPem(path('shop'))), path('signed.pdf'));
    expect(words).toContain('Signature is Valid.');
    expect(words).toContain('Certificate is Trusted.');
    const other = await createShopIdentity({
      dir: path('other'),
      shopName: 'Harrow Lane Hydraulics',
      now: issuedAt,
      passphrase: 'four grey herons waiting',
    });
    const strange = pdfsig('-nssdir', trusting('nss-other', other.root.toString()), path('signed.pdf'));
    expect(strange).not.toContain('Certificate is Trusted.');
  });

  test('finds a changed byte of a page, in its words if not in its exit code', () => {
    const at = signed.indexOf('stream') + 20;
    writeFileSync(path('changed.pdf'), withByte(signed, at, (signed[at] ?? 0) ^ 1));
    const words = pdfsig(path('changed.pdf'));
    expect(words).toContain('Digest Mismatch.');
    expect(words).not.toContain('Signature is Valid.');
  });

  test('finds something appended not signed', () => {
    writeFileSync(path('appended.pdf'), Buffer.concat([signed, Buffer.from('%\n'.repeat(20))]));
    expect(pdfsig(path('appended.pdf'))).toContain('Not total document signed');
  });
});

describe('qpdf, pdfdetach and openssl', () => {
  test('qpdf finds no fault in the structure, and a signature of the form that it expects', () => {
    const run = spawnSync('qpdf', ['--check', path('signed.pdf')], { encoding: 'utf8' });
    expect({ status: run.status, words: run.stderr }).toEqual({ status: 0, words: '' });
    expect(run.stdout).toContain('No syntax or stream encoding errors found');
  });

  test('pdfdetach hands out the attachments byte for byte', () => {
    mkdirSync(path('detached'));
    execFileSync('pdfdetach', ['-saveall', '-o', path('detached'), path('signed.pdf')]);
    expect(readFileSync(path('detached/record.json'))).toEqual(recordJson);
    expect(readFileSync(path('detached/trace.csv'))).toEqual(traceCsv);
  });

  test('openssl verifies certificate chain and CMS over the two signed parts, and refuses a changed one', () => {
    const { content, signature } = cut(signed);
    writeFileSync(path('root.pem'), exportRootPem(path('shop')));
    writeFileSync(path('signature.der'), signature);
    const verdict = (bytes: Buffer): { status: number | null; words: string } => {
      writeFileSync(path('content'), bytes);
      const files = ['-in', path('signature.der'), '-content', path('content'), '-CAfile', path('root.pem')];
      const args = ['cms', '-verify', '-binary', '-inform', 'DER', ...files, '-cades', '-out', path('verified')];
      const run = spawnSync('openssl', args, { encoding: 'utf8' });
      return { status: run.status, words: run.stderr };
    };
    expect(verdict(content)).toMatchObject({ status: 0, words: expect.stringContaining('Verification successful') });
    expect(verdict(withByte(content, 5000, (content[5000] ?? 0) ^ 1)).status).not.toBe(0);
  });

  test('openssl finds the certificate good for signing, and prints the fingerprint of the root', () => {
    writeFileSync(path('leaf.pem'), identity.leaf.toString());
    const args = ['verify', '-x509_strict', '-CAfile', path('root.pem'), '-purpose', 'smimesign', path('leaf.pem')];
    expect(execFileSync('openssl', args, { encoding: 'utf8' })).toContain('leaf.pem: OK');
    const printed = execFileSync('openssl', ['x509', '-in', path('root.pem'), '-noout', '-fingerprint', '-sha256']);
    expect(printed.toString().trim().toLowerCase()).toBe(
      `sha256 fingerprint=${identity.root.fingerprint256.toLowerCase()}`,
    );
  });
});
