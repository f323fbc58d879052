import { createHash, createPrivateKey, type KeyObject, X509Certificate } from 'node:crypto';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { fileLimits, readGivenText } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { openKey, sealedKeySchema, sealKey } from '../people/sealed-key.js';
import { makePrivateFolder, writeNewPrivateFile, writePrivateFile } from '../private-file.js';
import { type CertifiedKey, makeLeaf, makeRoot } from './certificates.js';

const rootYears = 25;
const leafYears = 10;
const rootKeyOwner = 'dwellmark root key 1';

const files = {
  root: 'root.pem',
  rootKey: 'root.key.json',
  leaf: 'certificate.pem',
  leafKey: 'certificate.key.pem',
} as const;

/** What the shop signs its PDFs with. */
export interface ShopIdentity {
  /** Certifies the leaf; customers get it once and trust everything below it. */
  readonly root: X509Certificate;
  readonly leaf: X509Certificate;
  /** ECDSA P-256, of the leaf. */
  readonly key: KeyObject;
}

export interface NewShopIdentity {
  /** Folder for the two certificates and keys; made if missing, 0700, files 0600. */
  readonly dir: string;
  readonly shopName: string;
  readonly now: Date;
  /** Opens the root's key, which nothing but a renewal needs: the administrator's. */
  readonly passphrase: string;
}

const rootKeySchema = z.strictObject({ format: z.literal(rootKeyOwner), privateKey: sealedKeySchema });

/**
 * Makes a shop's own root (25 years) and the certificate its PDFs are signed with (10 years), valid from the start
 * of the day (UTC). The root's key, `root.key.json`, is sealed with the passphrase; it is needed again only for a renewal
 * and may be kept elsewhere.
 *
 * Throws `refused` when the folder has an identity already.
 */
export async function createShopIdentity({ dir, shopName, now, passphrase }: NewShopIdentity): Promise<ShopIdentity> {
  if (Object.values(files).some((name) => existsSync(join(dir, name)))) {
    throw new DwellmarkError('refused', 'this shop has its certificate already', { place: { file: dir } });
  }
  const organisation = shopName;
  const notBefore = startOfDay(now);
  const root = await makeRoot({ commonName: `${shopName} root`, organisation, notBefore, years: rootYears });
  const issuer = { certificate: root.certificate, privateKey: keyOf(root) };
  const leaf = await makeLeaf({ commonName: shopName, organisation, notBefore, years: leafYears }, issuer);
  makePrivateFolder(dir);
  writeNewPrivateFile(join(dir, files.rootKey), rootKeyText(keyOf(root), passphrase));
  writeNewPrivateFile(join(dir, files.root), pem('CERTIFICATE', root.certificate));
  writeNewPrivateFile(join(dir, files.leafKey), pem('PRIVATE KEY', leaf.privateKey));
  writeNewPrivateFile(join(dir, files.leaf), pem('CERTIFICATE', leaf.certificate));
  return loadShopIdentity(dir);
}

/** Makes a new signing certificate under the same root: earlier PDFs and every customer's trust stay as they are. */
export async function renewShopCertificate({ dir, shopName, now, passphrase }: NewShopIdentity): Promise<ShopIdentity> {
  const issuer = {
    certificate: new X509Certificate(read(dir, files.root)).raw,
    privateKey: openedRootKey(dir, passphrase),
  };
  const wish = { commonName: shopName, organisation: shopName, notBefore: startOfDay(now), years: leafYears };
  const leaf = await makeLeaf(wish, issuer);
  writePrivateFile(join(dir, files.leafKey), pem('PRIVATE KEY', leaf.privateKey));
  writePrivateFile(join(dir, files.leaf), pem('CERTIFICATE', leaf.certificate));
  return loadShopIdentity(dir);
}

/** Seals the root's key under another passphrase, where it is kept here and the old one opens it. */
export function resealRootKey(dir: string, passphrases: { readonly old: string; readonly new: string }): boolean {
  if (!existsSync(join(dir, files.rootKey))) return false;
  const key = rootKeyWith(dir, passphrases.old);
  if (key) writePrivateFile(join(dir, files.rootKey), rootKeyText(key, passphrases.new));
  return key !== null;
}

const rootKeyText = (key: KeyObject, passphrase: string): string =>
  `${JSON.stringify({ format: rootKeyOwner, privateKey: sealKey(key, passphrase, rootKeyOwner) }, null, 2)}\n`;

function rootKeyWith(dir: string, passphrase: string): KeyObject | null {
  const form = rootKeySchema.safeParse(JSON.parse(read(dir, files.rootKey)));
  return form.success ? openKey(form.data.privateKey, passphrase, rootKeyOwner) : null;
}

function openedRootKey(dir: string, passphrase: string): KeyObject {
  const key = rootKeyWith(dir, passphrase);
  if (key) return key;
  throw new DwellmarkError('refused', "the passphrase does not open the root's key", {
    place: { file: join(dir, files.rootKey) },
  });
}

/** Throws `refused` when there is none and `altered` when its parts don't belong together. */
export function loadShopIdentity(dir: string): ShopIdentity {
  const texts = [files.root, files.leaf, files.leafKey].map((name) => read(dir, name));
  try {
    const [rootPem = '', leafPem = '', keyPem = ''] = texts;
    const identity = {
      root: new X509Certificate(rootPem),
      leaf: new X509Certificate(leafPem),
      key: createPrivateKey(keyPem),
    };
    if (identity.leaf.checkPrivateKey(identity.key) && identity.leaf.verify(identity.root.publicKey)) return identity;
  } catch (cause) {
    throw strayParts(dir, cause);
  }
  throw strayParts(dir);
}

/** The root certificate as PEM, for customers: `dwellmark verify FILE.pdf` and any PDF reader can be told to trust it. */
export function exportRootPem(dir: string): string {
  return read(dir, files.root);
}

/**
 * SHA-256 of a certificate in fours of hex digits, for reading out on the telephone (the same digits as
 * `openssl x509 -fingerprint -sha256`).
 */
export function certificateFingerprint(certificatePem: string): string {
  const { raw } = new X509Certificate(certificatePem);
  return createHash('sha256')
    .update(raw)
    .digest('hex')
    .replace(/(.{4})(?=.)/g, '$1 ');
}

function read(dir: string, name: string): string {
  const file = join(dir, name);
  if (!existsSync(file))
    throw new DwellmarkError('refused', `a part of the shop's certificate is missing`, { place: { file } });
  return readGivenText(file, { what: "part of the shop's certificate", most: fileLimits.text });
}

function strayParts(dir: string, cause?: unknown): DwellmarkError {
  return new DwellmarkError('altered', `the shop's root, certificate and key don't belong together`, {
    place: { file: dir },
    advice: 'Restore this folder from a backup.',
    cause,
  });
}

function keyOf({ privateKey }: CertifiedKey): KeyObject {
  return createPrivateKey({ key: privateKey, format: 'der', type: 'pkcs8' });
}

function pem(label: string, der: Buffer): string {
  const lines = der.toString('base64').match(/.{1,64}/g) ?? [];
  return [`-----BEGIN ${label}-----`, ...lines, `-----END ${label}-----`, ''].join('\n');
}

function startOfDay(now: Date): Date {
  return new Date(Date.UTC(now.getUTCFullYear(), now.getUTCMonth(), now.getUTCDate()));
}
