import { X509Certificate } from 'node:crypto';
import { copyFileSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  certificateFingerprint,
  createShopIdentity,
  exportRootPem,
  loadShopIdentity,
  renewShopCertificate,
  resealRootKey,
  type ShopIdentity,
  signPdf,
  verifyPdfSignature,
} from '../../src/signing/index.js';
import { issuedAt, sampleDocument, scratchFolder } from './sample-document.js';

const folder = scratchFolder();
const dir = join(folder.path, 'shop');
const shopName = 'Harrow Lane Hydraulics';
const passphrase = 'four grey herons waiting';
let identity: ShopIdentity;

beforeAll(async () => {
  identity = await createShopIdentity({ dir, shopName, now: issuedAt, passphrase });
});
afterAll(() => folder.remove());

describe('the certificate of a shop', () => {
  test('lies in four files that only the owner reads', () => {
    expect(readdirSync(dir)).toEqual(['certificate.key.pem', 'certificate.pem', 'root.key.json', 'root.pem']);
    for (const name of readdirSync(dir)) expect(statSync(join(dir, name)).mode & 0o777).toBe(0o600);
    expect(statSync(dir).mode & 0o777).toBe(0o700);
  });

  test('is a P-256 key for documents and e-mail, issued by a root for 10 years from the start of the day', () => {
    const { leaf, root, key } = identity;
    expect(leaf.subject).toBe(`O=${shopName}\nCN=${shopName}`);
    expect(leaf.issuer).toBe(`O=${shopName}\nCN=${shopName} root`);
    expect(leaf.keyUsage).toEqual(['1.3.6.1.5.5.7.3.4', '1.3.6.1.5.5.7.3.36']);
    expect(key.asymmetricKeyDetails).toEqual({ namedCurve: 'prime256v1' });
    expect([leaf.ca, root.ca]).toEqual([false, true]);
    expect([leaf.checkIssued(root), leaf.verify(root.publicKey), root.verify(root.publicKey)]).toEqual([
      true,
      true,
      true,
    ]);
    expect([leaf.validFrom, leaf.validTo]).toEqual(['Mar  2 00:00:00 2026 GMT', 'Mar  2 00:00:00 2036 GMT']);
    expect(root.validTo).toBe('Mar  2 00:00:00 2051 GMT');
    expect(leaf.serialNumber).toMatch(/^[4-7][0-9A-F]{31}$/);
  });

  test('comes back from its folder, and the root goes out as PEM with a fingerprint that openssl prints too', () => {
    expect(loadShopIdentity(dir).leaf.raw).toEqual(identity.leaf.raw);
    const root = new X509Certificate(exportRootPem(dir));
    expect(root.raw).toEqual(identity.root.raw);
    const digits = certificateFingerprint(exportRootPem(dir)).replaceAll(' ', '').toUpperCase();
    expect(digits).toBe(root.fingerprint256.replaceAll(':', ''));
  });

  test('of a long name is cut to the 64 characters that X.509 allows', async () => {
    const long = await createShopIdentity({
      dir: join(folder.path, 'long'),
      shopName: 'Ö'.repeat(70),
      now: issuedAt,
      passphrase,
    });
    expect(long.leaf.subject).toBe(`O=${'Ö'.repeat(64)}\nCN=${'Ö'.repeat(64)}`);
  });

  test('is made once: a second one is refused, even when only a key is left there', async () => {
    await expect(createShopIdentity({ dir, shopName, now: issuedAt, passphrase })).rejects.toMatchObject({
      code: 'refused',
    });
    expect(loadShopIdentity(dir).leaf.raw).toEqual(identity.leaf.raw);
    const rest = join(folder.path, 'rest');
    await createShopIdentity({ dir: rest, shopName, now: issuedAt, passphrase });
    for (const name of ['certificate.key.pem', 'certificate.pem', 'root.pem']) rmSync(join(rest, name));
    await expect(createShopIdentity({ dir: rest, shopName, now: issuedAt, passphrase })).rejects.toMatchObject({
      code: 'refused',
    });
  });

  test('with a missing part is refused, with a part of another shop it is altered', async () => {
    const other = join(folder.path, 'other');
    await createShopIdentity({ dir: other, shopName, now: issuedAt, passphrase });
    copyFileSync(join(dir, 'certificate.key.pem'), join(other, 'certificate.key.pem'));
    expect(() => loadShopIdentity(other)).toThrow(expect.objectContaining({ code: 'altered' }));
    rmSync(join(other, 'root.pem'));
    expect(() => loadShopIdentity(other)).toThrow(expect.objectContaining({ code: 'refused' }));
  });

  test('is renewed under the same root: what was signed before and after is trusted alike', async () => {
    const own = join(folder.path, 'renewed');
    const first = await createShopIdentity({ dir: own, shopName, now: issuedAt, passphrase });
    const before = await signPdf(await sampleDocument(), first);
    const second = await renewShopCertificate({
      dir: own,
      shopName,
      now: new Date('2035-06-01T09:00:00Z'),
      passphrase,
    });
    const after = await signPdf(await sampleDocument({ field: { date: new Date('2036-05-01T08:00:00Z') } }), second);
    expect(second.leaf.publicKey.equals(first.leaf.publicKey)).toBe(false);
    for (const pdf of [before, after]) {
      expect(await verifyPdfSignature(pdf, { trustedRootPem: exportRootPem(own) })).toMatchObject({
        trusted: true,
        problems: [],
      });
    }
  });

  test('keeps the key of its root sealed: a wrong passphrase renews nothing, and it can be changed', async () => {
    const own = join(folder.path, 'sealed');
    await createShopIdentity({ dir: own, shopName, now: issuedAt, passphrase });
    expect(readFileSync(join(own, 'root.key.json'), 'utf8')).not.toContain('PRIVATE KEY');
    const wrong = { dir: own, shopName, now: issuedAt, passphrase: 'some other long words' };
    await expect(renewShopCertificate(wrong)).rejects.toThrow('does not open');
    expect(resealRootKey(own, { old: 'some other long words', new: 'nothing comes of it' })).toBe(false);
    expect(resealRootKey(own, { old: passphrase, new: wrong.passphrase })).toBe(true);
    expect((await renewShopCertificate(wrong)).leaf.subject).toContain(shopName);
  });

  test('needs the key of its root only for that: without it, signing goes on', async () => {
    const own = join(folder.path, 'rootless');
    await createShopIdentity({ dir: own, shopName, now: issuedAt, passphrase });
    rmSync(join(own, 'root.key.json'));
    expect(loadShopIdentity(own).leaf.verify(identity.root.publicKey)).toBe(false);
    await expect(renewShopCertificate({ dir: own, shopName, now: issuedAt, passphrase })).rejects.toMatchObject({
      code: 'refused',
    });
  });
});
