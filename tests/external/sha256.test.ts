import { describe, expect, it } from 'vitest';
import { sha256Hex } from '../../src/record/index.js';

/** FIPS 180-4: messages of NIST's examples and validation vectors, their hashes as sha256sum of coreutils gives them. */
const published: readonly [string, string | Uint8Array, string][] = [
  ['"abc"', 'abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
  ['no bytes', '', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
  [
    'two blocks',
    'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
    '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
  ],
  ['a million times "a"', 'a'.repeat(1_000_000), 'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0'],
  ['the byte d3', Uint8Array.of(0xd3), '28969cdfa74a12c82f3bad960b0b000aca2ac329deea5c2328ebc6f2ba9802c1'],
];

describe('SHA-256 of FIPS 180-4, 6.2 (computed by sha256sum of coreutils)', () => {
  it.each(published)('%s', (_name, message, expected) => {
    expect(sha256Hex(message)).toBe(expected);
  });
});
