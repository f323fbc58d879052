import { createPrivateKey, createPublicKey, sign } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import type { RecordSignature } from '../../src/record/index.js';
import { missingSignatures, signRecord, type UnlockedSigner } from '../../src/signing/index.js';
import { recordSignatureDomain, signedBytes } from '../../src/signing/record-signature.js';
import { type RecordToSign, verifyRecordSignature } from '../../src/signing/sign-record.js';

const key = createPrivateKey({
  key: Buffer.from(`302e020100300506032b657004220420${'7b'.repeat(32)}`, 'hex'),
  format: 'der',
  type: 'pkcs8',
});
const publicKey = createPublicKey(key).export({ format: 'der', type: 'spki' }).subarray(12).toString('base64');
const ada: UnlockedSigner = {
  signer: { id: 'ada', name: 'Ada Ortmann', role: 'technician', organisation: 'Harrow Lane', publicKey },
  failuresBefore: 0,
  sign: (bytes) => sign(null, bytes, key),
};
const record: RecordToSign = {
  test: 'T-2026-0007',
  head: 'a1'.repeat(32),
  meaning: 'performed',
  remark: 'Gland wiped dry before the dwell – größer als üblich',
  signedAt: '2026-03-02T10:15:00+01:00',
};
const signature = signRecord(ada, record);

describe('a record signature', () => {
  test('is made over the domain line and the canonical JSON, keys in order, without its own value', () => {
    expect(Buffer.from(signedBytes(signature)).toString('utf8')).toBe(
      `dwellmark record signature 1\n{"head":"${'a1'.repeat(32)}","meaning":"performed","publicKey":"${publicKey}",` +
        '"remark":"Gland wiped dry before the dwell – größer als üblich","signedAt":"2026-03-02T10:15:00+01:00",' +
        '"signer":{"id":"ada","name":"Ada Ortmann","organisation":"Harrow Lane","role":"technician"},"test":"T-2026-0007"}',
    );
    expect(recordSignatureDomain).toBe('dwellmark record signature 1\n');
  });

  test('holds for its record, however its keys are ordered', () => {
    const expected = { test: record.test, head: record.head, publicKey };
    expect(verifyRecordSignature(signature, expected)).toEqual({ ok: true, why: null });
    const turned = Object.fromEntries(Object.entries(signature).reverse()) as unknown as RecordSignature;
    expect(verifyRecordSignature(turned)).toEqual({ ok: true, why: null });
  });

  test.each<[string, Partial<RecordSignature>, RegExp]>([
    ['test', { test: 'T-2026-0008' }, /does not fit/],
    ['head', { head: `b${signature.head.slice(1)}` }, /does not fit/],
    ['meaning', { meaning: 'witnessed' }, /does not fit/],
    ['remark', { remark: '' }, /does not fit/],
    ['time', { signedAt: '2026-03-02T10:15:01+01:00' }, /does not fit/],
    ['name', { signer: { ...signature.signer, name: 'Ada Ortman' } }, /does not fit/],
    ['role', { signer: { ...signature.signer, role: 'qa' } }, /does not fit/],
    ['key', { publicKey: 'A'.repeat(43).concat('=') }, /does not fit/],
    ['value', { value: `A${signature.value.slice(1)}` }, /does not fit/],
    ['spelling of the value', { value: signature.value.replace(/.==$/, 'x==') }, /not a record signature/],
    ['test of half a character', { test: 'T\ud83d' }, /not a record signature: test/],
    ['head in capitals', { head: signature.head.toUpperCase() }, /not a record signature: head/],
    ['an extra key', { extra: 1 } as object, /not a record signature/],
  ])('with another %s does not hold', (_, change, why) => {
    const verdict = verifyRecordSignature({ ...signature, ...change });
    expect(verdict.ok).toBe(false);
    expect(verdict.why).toMatch(why);
  });

  test('every single flipped bit of the value is noticed', () => {
    const value = Buffer.from(signature.value, 'base64');
    for (let bit = 0; bit < 512; bit += 1) {
      const flipped = Buffer.from(value);
      flipped[bit >> 3] = (flipped[bit >> 3] ?? 0) ^ (1 << (bit & 7));
      expect(verifyRecordSignature({ ...signature, value: flipped.toString('base64') }).ok).toBe(false);
    }
  });

  test('of another record, another state, or a key that is not enrolled is told from the one expected', () => {
    expect(verifyRecordSignature(signature, { test: 'T-2026-0009' }).why).toBe('signs T-2026-0007, not T-2026-0009');
    expect(verifyRecordSignature(signature, { head: '00'.repeat(32) }).why).toBe('signs another state of the record');
    expect(verifyRecordSignature(signature, { publicKey: 'x' }).why).toMatch(/not enrolled for Ada Ortmann/);
  });

  test('is not made for a meaning that the role does not have, nor over a remark that could move a terminal', () => {
    expect(() => signRecord(ada, { ...record, meaning: 'reviewed and released' })).toThrow(
      /is technician and can't sign/,
    );
    expect(() => signRecord(ada, { ...record, remark: 'fine\u001b[2J' })).toThrow(/remark must be one line/);
    expect(() => signRecord(ada, { ...record, head: 'abc' })).toThrow(/head must be a SHA-256/);
    expect(() => signRecord(ada, { ...record, signedAt: '2026-03-02 10:15' })).toThrow(/signedAt/);
  });
});

describe('signatures that are still missing', () => {
  const required = ['performed', 'reviewed and released'] as const;
  const quentin: UnlockedSigner = {
    ...ada,
    signer: { ...ada.signer, id: 'quentin', name: 'Quentin Abel', role: 'qa' },
  };
  const released = signRecord(quentin, { ...record, meaning: 'reviewed and released' });
  const rejected = signRecord(quentin, { ...record, meaning: 'rejected' });
  const sealed = { test: record.test, head: record.head, verdict: 'pass' } as const;

  test.each([
    ['none yet', { ...sealed, signatures: [] }, ['performed', 'reviewed and released']],
    ['one of two', { ...sealed, signatures: [signature] }, ['reviewed and released']],
    ['both', { ...sealed, signatures: [released, signature] }, []],
    [
      'both, on an older state of the record',
      { ...sealed, head: '00'.repeat(32), signatures: [released, signature] },
      [...required],
    ],
    [
      'one that does not hold',
      { ...sealed, signatures: [signature, { ...released, remark: 'x' }] },
      ['reviewed and released'],
    ],
    ['a fail, rejected', { ...sealed, verdict: 'fail', signatures: [signature, rejected] } as const, []],
    ['a pass, rejected', { ...sealed, signatures: [signature, rejected] }, ['reviewed and released']],
  ])('%s', (_, state, missing) => {
    expect(missingSignatures(required, state)).toEqual(missing);
  });
});
