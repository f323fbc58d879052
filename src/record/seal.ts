import type { TestResult } from '../evaluation/index.js';

/** The end of a test's chain: what was found, over what. Canonical JSON, hashed with the chain's last head. */
export interface TestSeal {
  readonly format: 'dwellmark seal 1';
  readonly test: string;
  /** Head of the header, hex. */
  readonly header: string;
  /** Head after the last link, hex. */
  readonly chain: string;
  readonly links: number;
  readonly readings: number;
  readonly inputs: number;
  /** Monotonic times of the first and last reading, microseconds. */
  readonly firstUs: number | null;
  readonly lastUs: number | null;
  /** Wall clock, ISO 8601 with offset. */
  readonly sealedAt: string;
  readonly result: TestResult;
}

/** What sealing gives back: the head that people sign, and where the ledger says so. */
export interface SealMark {
  readonly head: string;
  readonly ledger: number;
  readonly ledgerHead: string;
}
