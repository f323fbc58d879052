import { DwellmarkError } from '../../units/index.js';
import type { RecordSignature, Role, SignedReason, StatementSignature } from '../signature.js';
import type { LedgerLine } from './act-kinds.js';
import type { Ledger } from './ledger.js';

/** A person who may sign, with the public half of the key. */
export interface SignerRecord {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  readonly organisation: string;
  /** Ed25519 public key, base64. */
  readonly publicKey: string;
}

/** A signer as the ledger knows one. */
export interface EnrolledSigner extends SignerRecord {
  readonly enrolledAt: string;
  readonly position: number;
  readonly revoked: {
    readonly at: string;
    readonly position: number;
    readonly by: string;
    readonly reason: string;
  } | null;
}

/**
 * Enrols a person. An id is used once; a new key for the same person takes a new id.
 * @param signature the administrator's, under the record of the signer; the first administrator's own.
 */
export function enrolSigner(ledger: Ledger, signer: SignerRecord, signature?: StatementSignature): void {
  if (signers(ledger).some(({ id }) => id === signer.id))
    throw new DwellmarkError('refused', `there is a signer "${signer.id}" already`, {
      advice: 'Choose another id; a key is never replaced under the same id.',
    });
  const { id, name, role, organisation, publicKey } = signer;
  const body = { id, name, role, organisation, publicKey, ...(signature ? { signature } : {}) };
  ledger.act('signer enrolled', body, { subject: id });
}

/** Ends a signer's authority from now on; earlier signatures stand. */
export function revokeSigner(ledger: Ledger, id: string, why: SignedReason): void {
  const signer = signers(ledger).find((known) => known.id === id);
  if (!signer) throw new DwellmarkError('input', `there is no signer "${id}"`);
  if (signer.revoked) throw new DwellmarkError('refused', `the key of "${id}" was revoked on ${signer.revoked.at}`);
  ledger.act('signer revoked', { id, ...why }, { subject: id });
}

/** Everyone ever enrolled, oldest first. */
export function signers(ledger: Ledger): EnrolledSigner[] {
  const revocations = new Map(ledger.lines('signer revoked').map((line) => [line.subject, line]));
  return ledger.lines('signer enrolled').map((line) => {
    const revoked = revocations.get(line.subject);
    const { id, name, role, organisation, publicKey } = line.body as unknown as SignerRecord;
    return {
      ...{ id, name, role, organisation, publicKey },
      enrolledAt: line.at,
      position: line.position,
      revoked: revoked ? revocation(revoked) : null,
    };
  });
}

const revocation = (line: LedgerLine) => ({
  at: line.at,
  position: line.position,
  by: String(line.body.by),
  reason: String(line.body.reason),
});

/** A signature with the ledger line that carries it. */
export interface StoredSignature extends RecordSignature {
  readonly position: number;
}

/** Signatures on a test, oldest first. */
export const signaturesOn = (ledger: Ledger, test: string): StoredSignature[] =>
  ledger
    .lines('signed', { test })
    .map((line) => ({ ...(line.body as unknown as RecordSignature), position: line.position }));
