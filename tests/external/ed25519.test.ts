import { createPublicKey } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { publicKeyOf, rawPublicKey } from '../../src/signing/ed25519.js';
import { answerNow, keyFingerprint } from '../../src/signing/index.js';

interface Vector {
  readonly name: string;
  readonly publicKey: string;
  readonly message: string;
  readonly signature: string;
}

/** RFC 8032, 7.1. */
const published: readonly Vector[] = [
  {
    name: 'test 1',
    publicKey: 'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
    message: '',
    signature:
      'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
  },
  {
    name: 'test 2',
    publicKey: '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
    message: '72',
    signature:
      '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
  },
  {
    name: 'test 3',
    publicKey: 'fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025',
    message: 'af82',
    signature:
      '6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a',
  },
];

const bytes = (hex: string): Buffer => Buffer.from(hex, 'hex');

/** What the program says of a signature. */
const holds = (publicKey: Buffer, message: Buffer, signature: Buffer) =>
  answerNow({ ask: 'ed25519', publicKey, bytes: message, signature });

describe('signatures are checked as RFC 8032, 7.1 says (vectors from memory; each verifies itself)', () => {
  it.each(published)('$name holds, and its key is kept as the 32 bytes printed', (vector) => {
    const raw = bytes(vector.publicKey);
    expect(holds(raw, bytes(vector.message), bytes(vector.signature))).toBe(true);
    const key = publicKeyOf(raw);
    expect(key && rawPublicKey(createPublicKey(key.export({ format: 'pem', type: 'spki' })))).toEqual(raw);
  });

  it('one bit off, in the message, in the key or in the signature, is refused', () => {
    for (const { message, publicKey, signature } of published) {
      const [key, text, value] = [bytes(publicKey), bytes(message), bytes(signature)];
      expect(holds(key, Buffer.concat([text, Buffer.of(0)]), value)).toBe(false);
      for (let at = 0; at < value.length; at += 1) {
        const bent = Buffer.from(value);
        bent[at] = (bent[at] ?? 0) ^ 1;
        expect(holds(key, text, bent), `byte ${at}`).toBe(false);
      }
    }
  });

  it('a fingerprint is the start of the SHA-256 of the 32 bytes (sha256sum of coreutils)', () => {
    expect(keyFingerprint(bytes(published[1]?.publicKey ?? '').toString('base64'))).toBe('39f7 13d0 a644 253f');
  });
});
