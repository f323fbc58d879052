import type { TestResult } from '../evaluation/index.js';
import type { TestHeader } from './header.js';
import type { Correction, IssuedCertificate, LedgerLine, StoredSignature, VoidMark } from './ledger/index.js';
import type { TestSeal } from './seal.js';

export interface StoreOptions {
  readonly mode: 'write' | 'read';
  /** Wall clock; the computer's when absent. */
  readonly now?: () => Date;
  /** Clock that never steps, milliseconds; the computer's when absent. */
  readonly monotonicMs?: () => number;
}

/** A test as the store knows it. */
export interface StoredTest {
  readonly header: TestHeader;
  /** Head of the header, hex. */
  readonly headerHead: string;
  readonly seal: TestSeal | null;
  /** Head of the seal, hex: what is signed. */
  readonly head: string | null;
  /** Ledger position of the seal's line. */
  readonly ledger: number | null;
  readonly result: TestResult | null;
  readonly signatures: readonly StoredSignature[];
  readonly certificates: readonly IssuedCertificate[];
  readonly voided: VoidMark | null;
  /** Signed amendments to customer, work order and address, oldest first; the header has them as they were. */
  readonly corrections: readonly Correction[];
  /** Every ledger line about this test, oldest first. */
  readonly acts: readonly LedgerLine[];
}
