import { createPublicKey, type KeyObject } from 'node:crypto';

/** What RFC 8410 puts before the 32 bytes of an Ed25519 public key. */
const spkiHead = Buffer.from('302a300506032b6570032100', 'hex');

/** The 32 bytes of an Ed25519 public key. */
export function rawPublicKey(key: KeyObject): Buffer {
  return key.export({ format: 'der', type: 'spki' }).subarray(spkiHead.length);
}

/** The key of 32 raw bytes, or null when they are not 32. */
export function publicKeyOf(raw: Uint8Array): KeyObject | null {
  if (raw.length !== 32) return null;
  return createPublicKey({ key: Buffer.concat([spkiHead, raw]), format: 'der', type: 'spki' });
}
