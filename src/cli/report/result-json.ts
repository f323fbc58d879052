import type { TestResult } from '../../evaluation/index.js';
import type { StoredTest } from '../../record/index.js';
import type { UnitSystem } from '../../units/index.js';
import { spellAll } from '../output.js';

/** What `--json` says of a test: numbers in SI, texts in the customer's units. */
export interface ResultJson extends TestResult {
  readonly test: string;
  readonly record: RecordJson | null;
}

export interface RecordJson {
  readonly head: string;
  readonly ledger: number | null;
  readonly signatures: readonly unknown[];
  readonly certificates: readonly string[];
  readonly voided: boolean;
}

export const recordJson = (stored: StoredTest): RecordJson | null =>
  stored.head === null
    ? null
    : {
        head: stored.head,
        ledger: stored.ledger,
        signatures: stored.signatures,
        certificates: stored.certificates.map(({ number }) => number),
        voided: stored.voided !== null,
      };

export const resultJson = (
  test: string,
  result: TestResult,
  record: RecordJson | null,
  system: UnitSystem,
): ResultJson => ({
  test,
  ...spellAll(result, system),
  record,
});
