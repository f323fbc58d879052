import type { StatementSignature } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import { answeredNow } from './answered-now.js';
import type { UnlockedSigner } from './people/signer.js';
import { type StatementKind, statementBytes, statementSignatureFault, statementSignatureSchema } from './statement.js';

/**
 * Signs a statement: any plain JSON value.
 * @param signedAt ISO 8601 with offset.
 */
export function signStatement(
  unlocked: UnlockedSigner,
  kind: StatementKind,
  statement: unknown,
  signedAt: string,
): StatementSignature {
  const { publicKey, ...signer } = unlocked.signer;
  const unsigned = { signer, signedAt, publicKey };
  const bytes = Buffer.from(statementBytes(kind, statement, unsigned));
  return { ...unsigned, value: unlocked.sign(bytes).toString('base64') };
}

/** Checks a signature at once: what {@link statementSignatureFault} finds. */
export const statementFault = (
  kind: StatementKind,
  statement: unknown,
  signature: unknown,
  enrolledKey?: string,
): string | null => answeredNow(statementSignatureFault(kind, statement, signature, enrolledKey));

/** The signature of a statement, read from a file. @throws DwellmarkError (`altered`) when it has not the form of one. */
export function readStatementSignature(value: unknown): StatementSignature {
  const form = statementSignatureSchema.safeParse(value);
  if (form.success) return form.data;
  throw new DwellmarkError('altered', `this is not a signature: ${form.error.issues[0]?.message ?? 'unknown form'}`);
}
