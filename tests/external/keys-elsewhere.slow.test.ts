import { generateKeyPairSync, sign } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { rawPublicKey } from '../../src/signing/ed25519.js';
import { signRecord } from '../../src/signing/index.js';
import { openKey, sealKey } from '../../src/signing/people/sealed-key.js';
import { recordSignatureDomain } from '../../src/signing/record-signature.js';
import { askPython } from './oracle.js';

/** Keys and signatures against the Python library `cryptography` (Debian's python3-cryptography): scrypt, AES-GCM, Ed25519. */
const opener = `
import base64, json, sys, unicodedata
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt
from cryptography.hazmat.primitives import serialization as ser
b = base64.b64decode
asked = json.load(sys.stdin)
key = asked["key"]
wrapping = Scrypt(salt=b(key["salt"]), length=32, n=key["N"], r=key["r"], p=key["p"]).derive(
    unicodedata.normalize("NFKC", asked["passphrase"]).encode())
der = AESGCM(wrapping).decrypt(b(key["nonce"]), b(key["sealed"]) + b(key["tag"]), asked["owner"].encode())
private = ser.load_der_private_key(der, None)
raw = private.public_key().public_bytes(ser.Encoding.Raw, ser.PublicFormat.Raw)
again = AESGCM(wrapping).encrypt(b"twelve bytes", der, asked["owner"].encode())
json.dump({"public": base64.b64encode(raw).decode(), "sealed": base64.b64encode(again[:-16]).decode(),
           "tag": base64.b64encode(again[-16:]).decode(), "nonce": base64.b64encode(b"twelve bytes").decode(),
           "signed": base64.b64encode(private.sign(asked["text"].encode())).decode()}, sys.stdout)
`;

const checker = `
import base64, json, sys
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
out = []
for domain, signature in json.load(sys.stdin):
    value = base64.b64decode(signature.pop("value"))
    text = domain + json.dumps(signature, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    try:
        Ed25519PublicKey.from_public_bytes(base64.b64decode(signature["publicKey"])).verify(value, text.encode())
        out.append(True)
    except InvalidSignature:
        out.append(False)
json.dump(out, sys.stdout)
`;

const { privateKey, publicKey } = generateKeyPairSync('ed25519');
const raw = rawPublicKey(publicKey).toString('base64');

describe('python3-cryptography', () => {
  // "ö" as two characters: both sides compose it (NFKC).
  const [passphrase, owner] = ['nine wet gaskets, o\u0308l', 'ada\nAda Ortmann\ntechnician'];
  const key = sealKey(privateKey, passphrase, owner);
  const text = 'what is signed';
  const theirs = askPython(opener, { key, passphrase, owner, text }) as Record<string, string>;

  it('opens a sealed key: scrypt of RFC 7914, AES-256-GCM, the owner authenticated with it', () => {
    expect(theirs.public).toBe(raw);
    expect(() => askPython(opener, { key, passphrase: `${passphrase}.`, owner, text })).toThrow();
    expect(() => askPython(opener, { key, passphrase, owner: `${owner}.`, text })).toThrow();
  });

  it('seals one that opens here', () => {
    const { sealed = '', tag = '', nonce = '' } = theirs;
    const opened = openKey({ ...key, sealed, tag, nonce }, passphrase, owner);
    expect(opened?.export({ format: 'der', type: 'pkcs8' })).toEqual(
      privateKey.export({ format: 'der', type: 'pkcs8' }),
    );
  });

  it('checks the signature of a record, and refuses one whose remark was changed (Ed25519, RFC 8032; RFC 8785)', () => {
    const person = {
      signer: { id: 'ada', name: 'Ada Ortmann', role: 'technician', organisation: 'Harrow Lane', publicKey: raw },
      failuresBefore: 0,
      sign: (bytes: Uint8Array) => sign(null, bytes, privateKey),
    } as const;
    const signature = signRecord(person, {
      test: 'T-2026-0007',
      head: 'a1'.repeat(32),
      meaning: 'performed',
      remark: 'Gland wiped dry – größer als üblich',
      signedAt: '2026-03-02T10:15:00+01:00',
    });
    const changed = { ...signature, remark: 'Gland dry' };
    expect(
      askPython(checker, [
        [recordSignatureDomain, signature],
        [recordSignatureDomain, changed],
        ['', signature],
      ]),
    ).toEqual([true, false, false]);
  });
});
