import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createShopIdentity, readPdfAttachments, signPdf, verifyPdfSignature } from '../../src/signing/index.js';
import { issuedAt, pdfOf, sampleDocument, scratchFolder, withByte } from './sample-document.js';

const folder = scratchFolder();
let signed: Buffer;
let trustedRootPem: string;

beforeAll(async () => {
  const wish = {
    dir: join(folder.path, 'shop'),
    shopName: 'Harrow Lane Hydraulics',
    now: issuedAt,
    passphrase: 'four grey herons waiting',
  };
  const identity = await createShopIdentity(wish);
  trustedRootPem = identity.root.toString();
  signed = await signPdf(await sampleDocument(), identity);
});
afterAll(() => folder.remove());

/** Numbers below 2^32 that are the same in every run (xorshift, seed 20260302). */
function* steady(): Generator<number, never> {
  for (let state = 20260302; ; ) {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    yield state >>> 0;
  }
}

async function unnoticed(changed: Buffer): Promise<boolean> {
  const { problems, trusted } = await verifyPdfSignature(changed, { trustedRootPem });
  return problems.length === 0 || trusted === true;
}

describe('a signed PDF that was altered', () => {
  test('in one byte, anywhere: 1,000 of 1,000 are noticed', async () => {
    const numbers = steady();
    const missed: string[] = [];
    for (let count = 0; count < 1000; count += 1) {
      const at = numbers.next().value % signed.length;
      const value = ((signed[at] ?? 0) + 1 + (numbers.next().value % 255)) & 0xff;
      if (await unnoticed(withByte(signed, at, value))) missed.push(`${at}: ${value}`);
    }
    expect(missed).toEqual([]);
    expect(await unnoticed(signed)).toBe(true);
  });

  test('in one bit of a character of the signature itself: noticed in each of its characters', async () => {
    const start = signed.indexOf('/Contents <') + '/Contents '.length;
    const end = signed.indexOf('00000000', start) + 16;
    const missed: string[] = [];
    for (let at = start; at < end; at += 1) {
      const value = (signed[at] ?? 0) ^ (1 << (at & 7));
      if (await unnoticed(withByte(signed, at, value))) missed.push(`${at}: ${value}`);
    }
    expect(end - start).toBeGreaterThan(2000);
    expect(missed).toEqual([]);
  });

  test('by cutting it off at 200 places, or by taking one byte out: noticed each time', async () => {
    const numbers = steady();
    for (let count = 0; count < 200; count += 1) {
      const at = numbers.next().value % signed.length;
      expect(await unnoticed(signed.subarray(0, at))).toBe(false);
      expect(await unnoticed(Buffer.concat([signed.subarray(0, at), signed.subarray(at + 1)]))).toBe(false);
    }
  });

  test('and read for its attachments anyway: an attachment or one error for the person, never a crash', () => {
    const numbers = steady();
    for (let count = 0; count < 3000; count += 1) {
      const changed = withByte(signed, numbers.next().value % signed.length, numbers.next().value & 0xff);
      try {
        expect(readPdfAttachments(changed).length).toBeLessThanOrEqual(2);
      } catch (error) {
        expect(error).toMatchObject({ name: 'DwellmarkError' });
      }
    }
  });
});

test('an attachment that would unpack to more than 256 MiB is refused', () => {
  const packed = deflateSync(Buffer.alloc(257 * 2 ** 20));
  const head = Buffer.from(`<< /Filter /FlateDecode /Length ${packed.length} >>\nstream\n`);
  const stream = Buffer.concat([head, packed, Buffer.from('\nendstream')]);
  const pdf = pdfOf([
    '<< /Type /Catalog /Names 2 0 R >>',
    '<< /EmbeddedFiles << /Names [(a) 3 0 R] >> >>',
    '<< /F (a.txt) /EF << /F 4 0 R >> >>',
    stream,
  ]);
  expect(() => readPdfAttachments(pdf)).toThrow(/does not unpack/);
});
