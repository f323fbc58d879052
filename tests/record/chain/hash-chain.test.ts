import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { linkHead, sealHead } from '../../../src/record/chain/index.js';
import { headerHead, ledgerHead, ledgerRoot, linkKinds } from '../../../src/record/index.js';

const sha256 = (...parts: (string | Uint8Array)[]): string => {
  const hash = createHash('sha256');
  for (const part of parts) hash.update(part);
  return hash.digest('hex');
};

describe('hashes of the chain', () => {
  const previous = Buffer.alloc(32, 7);
  const payload = Buffer.from('payload');

  it('are SHA-256 over domain, previous head and bytes, as the format says', () => {
    expect(headerHead(payload).toString('hex')).toBe(sha256('dwellmark header 1\0', payload));
    expect(linkHead(previous, { seq: 258, kind: linkKinds.readings, payload }).toString('hex')).toBe(
      sha256('dwellmark link 1\0', previous, Buffer.from([0, 0, 1, 2, 1]), payload),
    );
    expect(sealHead(previous, payload).toString('hex')).toBe(sha256('dwellmark seal 1\0', previous, payload));
    expect(ledgerHead(ledgerRoot, payload).toString('hex')).toBe(
      sha256('dwellmark ledger 1\0', Buffer.alloc(32), payload),
    );
  });

  it('the same bytes in another place, of another kind or in another role have another hash', () => {
    const link = { seq: 1, kind: linkKinds.readings, payload };
    const heads = [
      linkHead(previous, link),
      linkHead(previous, { ...link, seq: 2 }),
      linkHead(previous, { ...link, kind: linkKinds.input }),
      linkHead(Buffer.alloc(32), link),
      sealHead(previous, payload),
      ledgerHead(previous, payload),
      headerHead(Buffer.concat([previous, payload])),
    ];
    expect(new Set(heads.map((head) => head.toString('hex'))).size).toBe(heads.length);
  });

  it('a link longer than the scratch buffer is hashed whole', () => {
    const long = Buffer.alloc(100_000, 3);
    expect(linkHead(previous, { seq: 1, kind: linkKinds.lines, payload: long }).toString('hex')).toBe(
      sha256('dwellmark link 1\0', previous, Buffer.from([0, 0, 0, 1, 3]), long),
    );
  });
});
