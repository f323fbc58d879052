import type { EnrolledSigner, LedgerLine, SignerRecord, StatementSignature, Store } from '../record/index.js';
import { statementFault } from '../signing/index.js';
import { type Act, acts, isAct, mayAct, statementOf } from './acts-of-authority.js';
import type { Findings } from './findings.js';

/**
 * Goes through the acts of authority in their order: enrolments, revocations, voids, reissues, corrections, renewals of the
 * shop's certificate. From the first administrator on, who is enrolled by the own key, each must be signed by somebody who was
 * entitled when it was done; a correction always.
 */
export function checkAuthority(store: Store, findings: Findings): void {
  const lines = (Object.keys(acts) as Act[])
    .flatMap((kind) => store.acts(kind))
    .filter(isAct)
    .sort((a, b) => a.position - b.position);
  const entitled = new Entitled();
  for (const line of lines) {
    const fault = entitled.faultOf(line, lines);
    const what = [line.kind, line.subject].filter(Boolean).join(' ');
    if (fault !== null) findings.problem(`ledger line ${line.position}, ${what}`, fault);
    entitled.take(line);
  }
  if (entitled.founded)
    findings.checked(
      'enrolments, revocations, voids, reissues, corrections and renewals: signed by somebody entitled then',
    );
  else if (lines.length > 0)
    findings.notChecked(
      'who was entitled to enrol, revoke, void, reissue or correct: this record names no administrator',
    );
}

/** Who may do what, as the ledger goes on. */
class Entitled {
  readonly #people = new Map<string | null, SignerRecord>();
  /** An administrator is enrolled: from now on everything must be signed. */
  founded = false;

  faultOf(line: LedgerLine, all: readonly LedgerLine[]): string | null {
    const { kind, body } = line;
    const signature = body.signature as StatementSignature | undefined;
    if (signature === undefined) {
      if ((!this.founded && kind !== 'test corrected') || (kind === 'certificate voided' && isReplaced(line, all)))
        return null;
      return 'bears no signature of anybody entitled';
    }
    const fault = statementFault(acts[kind as Act].kind, statementOf(line), signature);
    if (fault !== null) return fault;
    if (!this.founded && isFirstAdministrator(line)) return null;
    const signer = this.#people.get(signature.signer.id);
    if (signer?.publicKey !== signature.publicKey)
      return `${signature.signer.name} was not enrolled then with this key`;
    return mayAct(kind as Act, signer);
  }

  take(line: LedgerLine): void {
    if (line.kind === 'signer enrolled') this.#people.set(line.subject, line.body as unknown as SignerRecord);
    if (line.kind === 'signer revoked') this.#people.delete(line.subject);
    this.founded ||= line.kind === 'signer enrolled' && isFirstAdministrator(line);
  }
}

/** An administrator enrolled by the own key. */
function isFirstAdministrator({ body }: LedgerLine): boolean {
  const signature = body.signature as StatementSignature | undefined;
  return body.role === 'administrator' && signature !== undefined && signature.publicKey === body.publicKey;
}

/** A certificate that a signed reissue took the place of. */
const isReplaced = ({ subject, position, body }: LedgerLine, all: readonly LedgerLine[]): boolean =>
  all.some(
    (line) =>
      line.kind === 'certificate issued' &&
      line.position < position &&
      line.subject === body.replacedBy &&
      line.body.replaces === subject,
  );

/** Whether the record names an administrator: then enrolling and voiding take a key. */
export const hasAuthority = (signers: readonly EnrolledSigner[]): boolean =>
  signers.some(({ role }) => role === 'administrator');
