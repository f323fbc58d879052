import {
  createCipheriv,
  createDecipheriv,
  createPrivateKey,
  type KeyObject,
  randomBytes,
  scryptSync,
} from 'node:crypto';
import { z } from 'zod';

/** scrypt (RFC 7914) at N = 2^16, r = 8, p = 1: 64 MiB and some tenths of a second a guess. */
const cost = { N: 2 ** 16, r: 8, p: 1 } as const;
const largestN = 2 ** 20;
const keyBytes = 32;
const nonceBytes = 12;
const saltBytes = 32;

const base64 = z.base64();

/** A private key as it lies in a person's file. */
export const sealedKeySchema = z.strictObject({
  kdf: z.literal('scrypt'),
  N: z
    .int()
    .min(cost.N)
    .max(largestN)
    .refine((n) => Number.isInteger(Math.log2(n)), 'must be a power of two'),
  r: z.literal(cost.r),
  p: z.literal(cost.p),
  salt: base64,
  cipher: z.literal('aes-256-gcm'),
  nonce: base64,
  tag: base64,
  sealed: base64,
});

export type SealedKey = z.infer<typeof sealedKeySchema>;

/**
 * Encrypts a private key under a passphrase: scrypt, then AES-256-GCM. `owner` is authenticated with it, so that a
 * key file whose printed name or role was edited does not open any more.
 */
export function sealKey(key: KeyObject, passphrase: string, owner: string): SealedKey {
  const salt = randomBytes(saltBytes);
  const nonce = randomBytes(nonceBytes);
  const wrapping = deriveKey(passphrase, salt, cost.N);
  const cipher = createCipheriv('aes-256-gcm', wrapping, nonce).setAAD(Buffer.from(owner, 'utf8'));
  const sealed = Buffer.concat([cipher.update(key.export({ format: 'der', type: 'pkcs8' })), cipher.final()]);
  wrapping.fill(0);
  return {
    kdf: 'scrypt',
    ...cost,
    salt: salt.toString('base64'),
    cipher: 'aes-256-gcm',
    nonce: nonce.toString('base64'),
    tag: cipher.getAuthTag().toString('base64'),
    sealed: sealed.toString('base64'),
  };
}

/** The private key, or null when the passphrase is wrong or the file was altered: the two look the same. */
export function openKey(key: SealedKey, passphrase: string, owner: string): KeyObject | null {
  const wrapping = deriveKey(passphrase, Buffer.from(key.salt, 'base64'), key.N);
  const cleared: Buffer[] = [];
  try {
    const decipher = createDecipheriv('aes-256-gcm', wrapping, Buffer.from(key.nonce, 'base64'), { authTagLength: 16 })
      .setAAD(Buffer.from(owner, 'utf8'))
      .setAuthTag(Buffer.from(key.tag, 'base64'));
    cleared.push(decipher.update(Buffer.from(key.sealed, 'base64')), decipher.final());
    const der = Buffer.concat(cleared);
    cleared.push(der);
    return createPrivateKey({ key: der, format: 'der', type: 'pkcs8' });
  } catch {
    return null;
  } finally {
    for (const bytes of [wrapping, ...cleared]) bytes.fill(0);
  }
}

/** Composed the same way (NFKC) on every keyboard: an umlaut typed as two characters opens the key too. */
function deriveKey(passphrase: string, salt: Buffer, N: number): Buffer {
  const { r, p } = cost;
  return scryptSync(Buffer.from(passphrase.normalize('NFKC'), 'utf8'), salt, keyBytes, {
    N,
    r,
    p,
    maxmem: 256 * N * r,
  });
}
