import type { Verdict } from '../evaluation/index.js';
import type { RecordSignature, SignatureMeaning } from '../record/index.js';
import { verifyRecordSignature } from './sign-record.js';

/**
 * Which of the signatures that the shop file asks for are still missing on a sealed record, in its order. Only a
 * signature that verifies and signs this head counts. A test that did not pass may be rejected where a pass would
 * have been reviewed and released.
 *
 * @example
 * missingSignatures(['performed', 'reviewed and released'], { test, head, verdict: 'pass', signatures: [performed] });
 * // ['reviewed and released']
 */
export function missingSignatures(
  required: readonly SignatureMeaning[],
  record: {
    readonly test: string;
    readonly head: string;
    readonly verdict: Verdict;
    readonly signatures: readonly RecordSignature[];
  },
): SignatureMeaning[] {
  const { test, head } = record;
  const good = record.signatures.filter((signature) => verifyRecordSignature(signature, { test, head }).ok);
  const given = new Set(good.map(({ meaning }) => meaning));
  if (record.verdict !== 'pass' && given.has('rejected')) given.add('reviewed and released');
  return required.filter((meaning) => !given.has(meaning));
}
