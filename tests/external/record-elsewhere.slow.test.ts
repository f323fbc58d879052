import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { bundleLines } from '../../src/record/index.js';
import { recordSignatureDomain } from '../../src/signing/record-signature.js';
import { smallStore } from '../audit/sample-store.js';
import { scratchFolder } from '../record/sample-test.js';

/** A bundle checked by python3 with nothing but its standard library: header, links, seal, ledger lines, RFC 8785 form. */
const checker = String.raw`
import base64, hashlib, json, sys
H = lambda *parts: hashlib.sha256(b''.join(parts)).digest()
lines = [json.loads(line) for line in open(sys.argv[1], encoding='utf-8')]
head = None; seq = 0; acts = 0
for line in lines:
    if 'header' in line:
        head = H(b'dwellmark header 1\0', line['header'].encode())
        header = head.hex()
    elif 'link' in line:
        seq += 1
        link = line['link']
        payload = base64.b64decode(link['payload'])
        head = H(b'dwellmark link 1\0', head, seq.to_bytes(4, 'big'), bytes([link['kind']]), payload)
    elif 'seal' in line:
        seal = json.loads(line['seal'])
        assert seal['header'] == header and seal['chain'] == head.hex() and seal['links'] == seq
        assert H(b'dwellmark seal 1\0', head, line['seal'].encode()).hex() == line['head']
        sealed = line['head']
    elif 'act' in line:
        act = line['act']
        assert H(b'dwellmark ledger 1\0', bytes.fromhex(act['before']), act['line'].encode()).hex() == act['head']
        body = json.loads(act['line'])
        assert json.dumps(body, sort_keys=True, separators=(',', ':'), ensure_ascii=False) == act['line']
        acts += 1
text = open(sys.argv[1], 'rb').read()
assert hashlib.sha256(text[:text.rindex(b'{"end":')]).hexdigest() == lines[-1]['end']
print(sealed, seq, acts)
`;

describe('a record checked without this program', () => {
  const folder = scratchFolder();
  const { store, heads } = smallStore(join(folder, 'shop.db'));
  const bundle = join(folder, 'T-2026-0001.bundle.jsonl');
  writeFileSync(bundle, [...bundleLines(store, 'T-2026-0001')].join(''));

  it('python3 comes to the same heads', () => {
    writeFileSync(join(folder, 'check.py'), checker);
    const out = execFileSync('python3', [join(folder, 'check.py'), bundle], { encoding: 'utf8' })
      .trim()
      .split(' ');
    expect(out[0]).toBe(heads[0]);
    expect(Number(out[1])).toBe(store.test('T-2026-0001').seal?.links);
    expect(Number(out[2])).toBe(7);
  });

  it('openssl agrees on the signature (RFC 8032) and on SHA-256 (FIPS 180-4, computed)', () => {
    const [signature] = store.test('T-2026-0001').signatures;
    const line = [...store.ledger()].find(({ position }) => position === signature?.position);
    const { value, publicKey, ...rest } = (line?.body ?? {}) as { value: string; publicKey: string };
    const unsigned: Record<string, unknown> = { ...rest, publicKey };
    const text = `${recordSignatureDomain}${sortedJson(unsigned)}`;
    const der = Buffer.concat([Buffer.from('302a300506032b6570032100', 'hex'), Buffer.from(publicKey, 'base64')]);
    writeFileSync(join(folder, 'key.der'), der);
    writeFileSync(join(folder, 'signed.txt'), text);
    writeFileSync(join(folder, 'value.bin'), Buffer.from(value, 'base64'));
    const check = ['pkeyutl', '-verify', '-pubin', '-keyform', 'DER', '-inkey', join(folder, 'key.der'), '-rawin'];
    const files = ['-in', join(folder, 'signed.txt'), '-sigfile', join(folder, 'value.bin')];
    expect(execFileSync('openssl', [...check, ...files], { encoding: 'utf8' })).toContain('Verified Successfully');
    writeFileSync(join(folder, 'signed.txt'), text.replace('performed', 'rejected!'));
    expect(() => execFileSync('openssl', [...check, ...files], { stdio: 'pipe' })).toThrow();
  });
});

/** Keys sorted by this test's own hand: the texts here hold no number and nothing to escape but what JSON escapes. */
function sortedJson(value: unknown): string {
  if (value === null || typeof value !== 'object') return JSON.stringify(value);
  const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${entries.map(([key, inner]) => `${JSON.stringify(key)}:${sortedJson(inner)}`).join(',')}}`;
}
