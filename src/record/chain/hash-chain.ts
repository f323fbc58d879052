import { hash } from 'node:crypto';

/**
 * Every hash starts with its own domain, so that bytes of one kind can never stand for another: a chunk for a
 * header, a ledger line for a seal. The domains carry the version of the format.
 */
const domains = {
  header: Buffer.from('dwellmark header 1\0'),
  link: Buffer.from('dwellmark link 1\0'),
  seal: Buffer.from('dwellmark seal 1\0'),
  ledger: Buffer.from('dwellmark ledger 1\0'),
} as const;

/** What a link of a test's chain holds. The numbers are hashed: a new encoding takes a new number. */
export const linkKinds = { readings: 1, input: 2, lines: 3, clock: 4 } as const;
export type LinkKind = (typeof linkKinds)[keyof typeof linkKinds];

/** One link: what was committed together, in the order it happened. */
export interface Link {
  /** 1 for the first after the header. */
  readonly seq: number;
  readonly kind: LinkKind;
  readonly payload: Uint8Array;
}

/** What the ledger stands on before its first line. */
export const ledgerRoot: Buffer = Buffer.alloc(32);

/** Link 0: SHA-256(domain, canonical header). */
export const headerHead = (header: Uint8Array): Buffer => sha256(Buffer.concat([domains.header, header]));

/** SHA-256(domain, the chain's last head, canonical seal): what people sign. */
export const sealHead = (chainHead: Uint8Array, seal: Uint8Array): Buffer =>
  sha256(Buffer.concat([domains.seal, chainHead, seal]));

/** SHA-256(domain, head of the line before, canonical line). */
export const ledgerHead = (previous: Uint8Array, line: Uint8Array): Buffer =>
  sha256(Buffer.concat([domains.ledger, previous, line]));

const scratchStart = domains.link.length;
const payloadStart = scratchStart + 32 + 4 + 1;
let scratch = Buffer.alloc(4096);

/** SHA-256(domain, previous head, sequence number as 4 bytes, kind as 1 byte, payload): one call, no garbage. */
export function linkHead(previous: Uint8Array, link: Link): Buffer {
  const size = payloadStart + link.payload.length;
  if (scratch.length < size) scratch = Buffer.alloc(size * 2);
  domains.link.copy(scratch, 0);
  scratch.set(previous, scratchStart);
  scratch.writeUInt32BE(link.seq, scratchStart + 32);
  scratch[scratchStart + 36] = link.kind;
  scratch.set(link.payload, payloadStart);
  return sha256(scratch.subarray(0, size));
}

const sha256 = (bytes: Uint8Array): Buffer => hash('sha256', bytes, 'buffer');
