import { verify } from 'node:crypto';
import { z } from 'zod';
import { canonicalJson, type StatementSignature } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import { publicKeyOf } from './ed25519.js';
import type { UnlockedSigner } from './people/signer.js';
import { signerSchema } from './signer-form.js';

/** What a person can put a name to besides a test's record. The word stands in the signed bytes: none fits another. */
export type StatementKind =
  | 'audit report'
  | 'recall disposition'
  | 'enrolment'
  | 'revocation'
  | 'void'
  | 'reissue'
  | 'correction';

const signatureSchema = z.strictObject({
  signer: signerSchema.omit({ publicKey: true }),
  signedAt: z.iso.datetime({ offset: true }),
  publicKey: signerSchema.shape.publicKey,
  value: z.string().regex(/^[A-Za-z0-9+/]{86}==$/, 'must be 64 bytes in base64'),
});

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
  return { ...unsigned, value: unlocked.sign(statementBytes(kind, statement, unsigned)).toString('base64') };
}

/**
 * The bytes under a statement's signature: a line that names the kind, then RFC 8785 of the statement with who signs it.
 * @example a report's begin with `dwellmark audit report signature 1`
 */
export function statementBytes(
  kind: StatementKind,
  statement: unknown,
  { signer, signedAt, publicKey }: Omit<StatementSignature, 'value'>,
): Buffer {
  return Buffer.from(
    `dwellmark ${kind} signature 1\n${canonicalJson({ statement, signer, signedAt, publicKey })}`,
    'utf8',
  );
}

/** Why a statement's signature does not hold, or null. Whose key it is has to be known from elsewhere. */
export function statementFault(
  kind: StatementKind,
  statement: unknown,
  signature: unknown,
  enrolledKey?: string,
): string | null {
  const form = signatureSchema.safeParse(signature);
  if (!form.success) return `not a signature: ${form.error.issues[0]?.path.join('.')} ${form.error.issues[0]?.message}`;
  const { signer, publicKey, value } = form.data;
  if (enrolledKey !== undefined && enrolledKey !== publicKey)
    return `made with a key that is not enrolled for ${signer.name}`;
  const key = publicKeyOf(Buffer.from(publicKey, 'base64'));
  const bytes = statementBytes(kind, statement, form.data);
  const fits = key !== null && verify(null, bytes, key, Buffer.from(value, 'base64'));
  return fits ? null : `the signature of ${signer.name} does not fit what it signs`;
}

/** The signature of a statement, read from a file. @throws DwellmarkError (`altered`) when it has not the form of one. */
export function readStatementSignature(value: unknown): StatementSignature {
  const form = signatureSchema.safeParse(value);
  if (form.success) return form.data;
  throw new DwellmarkError('altered', `this is not a signature: ${form.error.issues[0]?.message ?? 'unknown form'}`);
}
