import { textBytes } from './text-bytes.js';

/**
 * What is hashed, and in which order: nothing of this depends on where it runs. The command line gives these bytes to
 * node:crypto, a browser to WebCrypto.
 *
 * Every hash starts with its own domain, so that bytes of one kind can never stand for another: a chunk for a
 * header, a ledger line for a seal. The domains carry the version of the format.
 */
const domains = {
  header: /* @__PURE__ */ textBytes('dwellmark header 1\0'),
  link: /* @__PURE__ */ textBytes('dwellmark link 1\0'),
  seal: /* @__PURE__ */ textBytes('dwellmark seal 1\0'),
  ledger: /* @__PURE__ */ textBytes('dwellmark ledger 1\0'),
} as const;

/** What a link of a test's chain holds. The numbers are hashed: a new encoding takes a new number. */
export const linkKinds = {
  readings: 1,
  input: 2,
  lines: 3,
  clock: 4,
  packedLines: 5,
  beatReadings: 6,
  lineColumns: 7,
} as const;
export type LinkKind = (typeof linkKinds)[keyof typeof linkKinds];

/** One link: what was committed together, in the order it happened. */
export interface Link {
  /** 1 for the first after the header. */
  readonly seq: number;
  readonly kind: LinkKind;
  readonly payload: Uint8Array;
}

/** Link 0: domain, canonical header. */
export const headerBytes = (header: Uint8Array): Uint8Array => joined(domains.header, header);

/** Domain, the chain's last head, canonical seal: their hash is what people sign. */
export const sealBytes = (chainHead: Uint8Array, seal: Uint8Array): Uint8Array => joined(domains.seal, chainHead, seal);

/** Domain, head of the line before, canonical line. */
export const ledgerBytes = (previous: Uint8Array, line: Uint8Array): Uint8Array =>
  joined(domains.ledger, previous, line);

const scratchStart = domains.link.length;
const payloadStart = scratchStart + 32 + 4 + 1;
let scratch = new Uint8Array(4096);

/**
 * Domain, previous head, sequence number as 4 bytes, kind as 1 byte, payload. No garbage: the bytes are good until the
 * next call.
 */
export function linkBytes(previous: Uint8Array, { seq, kind, payload }: Link): Uint8Array {
  const size = payloadStart + payload.length;
  if (scratch.length < size) scratch = new Uint8Array(size * 2);
  scratch.set(domains.link, 0);
  scratch.set(previous, scratchStart);
  scratch[scratchStart + 32] = seq >>> 24;
  scratch[scratchStart + 33] = seq >>> 16;
  scratch[scratchStart + 34] = seq >>> 8;
  scratch[scratchStart + 35] = seq;
  scratch[scratchStart + 36] = kind;
  scratch.set(payload, payloadStart);
  return scratch.subarray(0, size);
}

function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((size, part) => size + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
