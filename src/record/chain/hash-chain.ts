import { hash } from 'node:crypto';
import { headerBytes, type Link, ledgerBytes, linkBytes, sealBytes } from './hashed-bytes.js';

/** What the ledger stands on before its first line. */
export const ledgerRoot: Buffer = Buffer.alloc(32);

/** Link 0: SHA-256 of {@link headerBytes}. */
export const headerHead = (header: Uint8Array): Buffer => sha256(headerBytes(header));

/** SHA-256 of {@link sealBytes}: what people sign. */
export const sealHead = (chainHead: Uint8Array, seal: Uint8Array): Buffer => sha256(sealBytes(chainHead, seal));

/** SHA-256 of {@link ledgerBytes}. */
export const ledgerHead = (previous: Uint8Array, line: Uint8Array): Buffer => sha256(ledgerBytes(previous, line));

/** SHA-256 of {@link linkBytes}. */
export const linkHead = (previous: Uint8Array, link: Link): Buffer => sha256(linkBytes(previous, link));

const sha256 = (bytes: Uint8Array): Buffer => hash('sha256', bytes, 'buffer');
