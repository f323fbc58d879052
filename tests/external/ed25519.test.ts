import { createPrivateKey, createPublicKey, sign, verify } from 'node:crypto';
import { describe, expect, it } from 'vitest';

interface Vector {
  readonly name: string;
  readonly seed: string;
  readonly publicKey: string;
  readonly message: string;
  readonly signature: string;
}

/** RFC 8032, 7.1. */
const published: readonly Vector[] = [
  {
    name: 'test 1',
    seed: '9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60',
    publicKey: 'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
    message: '',
    signature:
      'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
  },
  {
    name: 'test 2',
    seed: '4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb',
    publicKey: '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
    message: '72',
    signature:
      '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
  },
  {
    name: 'test 3',
    seed: 'c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7',
    publicKey: 'fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025',
    message: 'af82',
    signature:
      '6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a',
  },
];

/** DER around a 32-byte key, RFC 8410. */
const privateHead = Buffer.from('302e020100300506032b657004220420', 'hex');
const publicHead = Buffer.from('302a300506032b6570032100', 'hex');

const privateKey = (seed: string) =>
  createPrivateKey({ key: Buffer.concat([privateHead, Buffer.from(seed, 'hex')]), format: 'der', type: 'pkcs8' });
const publicKey = (raw: string) =>
  createPublicKey({ key: Buffer.concat([publicHead, Buffer.from(raw, 'hex')]), format: 'der', type: 'spki' });

describe('Ed25519 against RFC 8032, 7.1', () => {
  it.each(published)('$name: the key, the signature, and its check', (vector) => {
    const message = Buffer.from(vector.message, 'hex');
    const key = privateKey(vector.seed);
    const derived = createPublicKey(key).export({ format: 'der', type: 'spki' }).subarray(-32).toString('hex');
    expect(derived).toBe(vector.publicKey);
    expect(sign(null, message, key).toString('hex')).toBe(vector.signature);
    expect(verify(null, message, publicKey(vector.publicKey), Buffer.from(vector.signature, 'hex'))).toBe(true);
  });

  it('one bit off, in the message or in the signature, is refused', () => {
    for (const { message, publicKey: raw, signature } of published) {
      const [text, value] = [Buffer.from(`${message}00`, 'hex'), Buffer.from(signature, 'hex')];
      expect(verify(null, text, publicKey(raw), value)).toBe(false);
      for (let at = 0; at < value.length; at += 1) {
        const bent = Buffer.from(value);
        bent[at] = (bent[at] ?? 0) ^ 1;
        expect(verify(null, Buffer.from(message, 'hex'), publicKey(raw), bent), `byte ${at}`).toBe(false);
      }
    }
  });
});
