import type { Asking, EnrolledSigner, StoredSignature } from '../record/index.js';
import { signatureFault } from '../signing/index.js';
import type { Findings } from './findings.js';

/** Signatures of one test: the arithmetic, the record they are on, and whether the ledger knew that person and key then. */
export function* checkSignatures(
  test: string,
  head: string | null,
  signatures: readonly StoredSignature[],
  signers: readonly EnrolledSigner[],
  findings: Findings,
): Asking<void> {
  for (const { position, ...signature } of signatures) {
    const where = `test ${test}, signature of ${signature.signer?.name} (ledger line ${position})`;
    findings.counts.signatures += 1;
    const enrolled = signers.find(({ id }) => id === signature.signer.id);
    const expected = {
      test,
      ...(head === null ? {} : { head }),
      ...(enrolled ? { publicKey: enrolled.publicKey } : {}),
    };
    const fault = yield* signatureFault(signature, expected);
    if (fault !== null) findings.problem(where, fault);
    if (head === null) findings.problem(where, 'the test is not sealed: there is nothing it can be on');
    if (!enrolled) {
      findings.problem(where, `nobody is enrolled as "${signature.signer.id}"`);
      continue;
    }
    for (const key of ['name', 'role', 'organisation'] as const)
      findings.same(where, key, signature.signer[key], enrolled[key]);
    if (position < enrolled.position) findings.problem(where, 'signed before the signer was enrolled');
    if (enrolled.revoked && position > enrolled.revoked.position)
      findings.problem(where, `signed after the key was revoked (ledger line ${enrolled.revoked.position})`);
  }
}
