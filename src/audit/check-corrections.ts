import {
  type Asking,
  type Correction,
  changesFault,
  correctableName,
  corrected,
  correctionsIn,
  type EnrolledSigner,
  type LedgerLine,
  type StatementSignature,
  type TestHeader,
} from '../record/index.js';
import { statementSignatureFault } from '../signing/index.js';
import { mayAct, statementOf } from './acts-of-authority.js';
import type { Findings } from './findings.js';

const where = ({ position }: LedgerLine): string => `ledger line ${position}, test corrected`;

const correctionLines = (acts: readonly LedgerLine[], test: string): LedgerLine[] =>
  acts.filter((line) => line.kind === 'test corrected' && line.test === test);

/** What each correction of a test says it found must be what the header, as corrected before, said. */
export function checkCorrections(header: TestHeader, acts: readonly LedgerLine[], findings: Findings): void {
  let now = header;
  for (const line of correctionLines(acts, header.test)) {
    const fault = changesFault(now, line.body.changes);
    if (fault !== null) findings.problem(where(line), fault);
    else now = corrected(now, correctionsIn([line], header.test));
    const signature = line.body.signature as StatementSignature | undefined;
    if (signature?.signer !== undefined && signature.signer.name !== line.body.by)
      findings.problem(where(line), `it names ${line.body.by}, and ${signature.signer.name} signed it`);
  }
}

/** Signatures on the corrections in a file that brings its own ledger lines: by a key that these enrol, entitled then. */
export function* checkCorrectionSigners(
  test: string,
  acts: readonly LedgerLine[],
  signers: readonly EnrolledSigner[],
  findings: Findings,
): Asking<void> {
  for (const line of correctionLines(acts, test)) {
    const signature = line.body.signature as StatementSignature | undefined;
    const signer = signers.find(({ id }) => id === signature?.signer?.id);
    if (signature === undefined || signer === undefined) {
      findings.problem(where(line), 'bears no signature of anybody enrolled');
      continue;
    }
    const fault =
      (yield* statementSignatureFault('correction', statementOf(line), signature, signer.publicKey)) ??
      mayAct('test corrected', signer);
    if (fault !== null) findings.problem(where(line), fault);
    if (line.position < signer.position) findings.problem(where(line), 'signed before the signer was enrolled');
    if (signer.revoked && line.position > signer.revoked.position)
      findings.problem(where(line), `signed after the key was revoked (ledger line ${signer.revoked.position})`);
  }
}

/** What was corrected, a sentence for each text. */
export const correctionTexts = ({ changes, by, at, reason }: Correction): string[] =>
  changes.map(
    ({ what, from, to }) =>
      `${correctableName[what]} corrected on ${at} by ${by}: "${to}" in place of "${from}": ${reason}`,
  );
