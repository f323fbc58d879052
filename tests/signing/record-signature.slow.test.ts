import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { RecordSignature } from '../../src/record/index.js';
import { signRecord, unlockSigner } from '../../src/signing/index.js';
import { makeSigner } from '../../src/signing/people/signer.js';
import { signedBytes } from '../../src/signing/record-signature.js';

let dir: string;
let signature: RecordSignature;

beforeAll(() => {
  dir = mkdtempSync(join(tmpdir(), 'openssl-'));
  const passphrase = 'seven wet gaskets on a shelf';
  const person = { id: 'ada', name: 'Ada Ortmann', role: 'technician', organisation: 'Harrow Lane' } as const;
  makeSigner({ dir, ...person, passphrase });
  signature = signRecord(unlockSigner(dir, 'ada', passphrase), {
    test: 'T-2026-0007',
    head: 'c3'.repeat(32),
    meaning: 'performed',
    remark: '',
    signedAt: '2026-03-02T10:15:00+01:00',
  });
});
afterAll(() => rmSync(dir, { recursive: true }));

/** What a customer would type: the public key as PEM, the signed text, the signature as bytes. */
function opensslSays(message: Uint8Array): { status: number | null; words: string } {
  const spki = Buffer.concat([
    Buffer.from('302a300506032b6570032100', 'hex'),
    Buffer.from(signature.publicKey, 'base64'),
  ]);
  execFileSync('openssl', ['pkey', '-pubin', '-inform', 'DER', '-out', join(dir, 'key.pem')], { input: spki });
  writeFileSync(join(dir, 'message'), message);
  writeFileSync(join(dir, 'signature'), Buffer.from(signature.value, 'base64'));
  const files = ['-inkey', join(dir, 'key.pem'), '-in', join(dir, 'message'), '-sigfile', join(dir, 'signature')];
  const run = spawnSync('openssl', ['pkeyutl', '-verify', '-pubin', '-rawin', ...files], { encoding: 'utf8' });
  return { status: run.status, words: run.stdout };
}

describe('openssl, which knows nothing of this program', () => {
  test('finds the signature of a record good', () => {
    expect(opensslSays(signedBytes(signature))).toEqual({ status: 0, words: 'Signature Verified Successfully\n' });
  });

  test('finds it bad when one byte of the signed text differs', () => {
    const message = signedBytes(signature);
    message[40] = (message[40] ?? 0) ^ 1;
    expect(opensslSays(message).status).not.toBe(0);
  });
});
