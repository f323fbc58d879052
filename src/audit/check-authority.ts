import {
  type Asking,
  type Correction,
  changesFault,
  correctableName,
  corrected,
  correctionsIn,
  type EnrolledSigner,
  type LedgerLine,
  type Role,
  type SignerRecord,
  type StatementSignature,
  type Store,
  type TestHeader,
} from '../record/index.js';
import { type StatementKind, statementFault, statementSignatureFault } from '../signing/index.js';
import type { Findings } from './findings.js';

/** Acts of the ledger that a person must have signed, and who may. */
export const acts = {
  'signer enrolled': { kind: 'enrolment', roles: ['administrator'] },
  'signer revoked': { kind: 'revocation', roles: ['administrator'] },
  'test voided': { kind: 'void', roles: ['qa', 'administrator'] },
  'certificate voided': { kind: 'void', roles: ['qa', 'administrator'] },
  'certificate issued': { kind: 'reissue', roles: ['qa', 'administrator'] },
  'test corrected': { kind: 'correction', roles: ['qa', 'administrator'] },
  'shop certificate renewed': { kind: 'renewal', roles: ['administrator'] },
} as const satisfies Partial<Record<LedgerLine['kind'], { kind: StatementKind; roles: readonly Role[] }>>;

export type Act = keyof typeof acts;

/** Whether a line is an act of authority: of certificates only a reissue is. */
export const isAct = ({ kind, body }: LedgerLine): boolean =>
  Object.hasOwn(acts, kind) && (kind !== 'certificate issued' || body.replaces !== undefined);

/** What of a ledger line is signed: its body, with what it is about. */
export function statementOf({ test, subject, body }: Pick<LedgerLine, 'test' | 'subject' | 'body'>): unknown {
  const { signature: _, ...said } = body;
  return { test, subject, ...said };
}

/** Why a person may not do an act, by the role alone, or null. */
export function mayAct(act: Act, { name, role }: Pick<SignerRecord, 'name' | 'role'>): string | null {
  const { roles } = acts[act];
  if ((roles as readonly Role[]).includes(role)) return null;
  return `is signed by ${name}, who is ${role}: it is for ${roles.join(' or ')}`;
}

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
