import { createPrivateKey, createPublicKey, scryptSync, sign, verify } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { publicKeyOf, rawPublicKey } from '../../src/signing/ed25519.js';
import { keyFingerprint } from '../../src/signing/index.js';

describe('scrypt, RFC 7914 section 12', () => {
  test('("password", "NaCl", N 1024, r 8, p 16, 64 bytes) starts fdbabe1c9d347200', () => {
    const derived = scryptSync('password', 'NaCl', 64, { N: 1024, r: 8, p: 16, maxmem: 64 * 2 ** 20 });
    expect(derived.toString('hex').slice(0, 16)).toBe('fdbabe1c9d347200');
  });
});

describe('Ed25519, RFC 8032 section 7.1, test 2', () => {
  const seed = '4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb';
  const publicKey = Buffer.from('3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c', 'hex');
  const message = Buffer.from('72', 'hex');
  const signature =
    '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da' +
    '085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00';
  // RFC 8410 section 7: what stands before the 32 bytes of a private key.
  const key = createPrivateKey({
    key: Buffer.from(`302e020100300506032b657004220420${seed}`, 'hex'),
    format: 'der',
    type: 'pkcs8',
  });

  test('the seed gives the public key', () => {
    expect(rawPublicKey(createPublicKey(key))).toEqual(publicKey);
  });

  test('the message gives the signature, and the raw public key verifies it', () => {
    expect(sign(null, message, key).toString('hex')).toBe(signature);
    const raw = publicKeyOf(publicKey);
    expect(raw && verify(null, message, raw, Buffer.from(signature, 'hex'))).toBe(true);
    expect(raw && verify(null, Buffer.from('73', 'hex'), raw, Buffer.from(signature, 'hex'))).toBe(false);
  });

  test('a fingerprint is the start of the SHA-256 of those 32 bytes (sha256sum)', () => {
    expect(keyFingerprint(publicKey.toString('base64'))).toBe('39f7 13d0 a644 253f');
  });
});
