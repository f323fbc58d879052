import * as z from 'zod';
import {
  type Asking,
  base64Bytes,
  canonicalJson,
  ed25519Fits,
  type StatementSignature,
  textBytes,
} from '../record/index.js';
import { signerSchema } from './signer-form.js';

/** What a person can put a name to besides a test's record. The word stands in the signed bytes: none fits another. */
export type StatementKind =
  | 'audit report'
  | 'recall disposition'
  | 'enrolment'
  | 'revocation'
  | 'void'
  | 'reissue'
  | 'correction'
  | 'renewal';

export const statementSignatureSchema = /* @__PURE__ */ z.strictObject({
  signer: signerSchema.omit({ publicKey: true }),
  signedAt: z.iso.datetime({ offset: true }),
  publicKey: signerSchema.shape.publicKey,
  value: z.string().regex(/^[A-Za-z0-9+/]{86}==$/, 'must be 64 bytes in base64'),
});

/**
 * The bytes under a statement's signature: a line that names the kind, then RFC 8785 of the statement with who signs it.
 * @example a report's begin with `dwellmark audit report signature 1`
 */
export const statementBytes = (
  kind: StatementKind,
  statement: unknown,
  { signer, signedAt, publicKey }: Omit<StatementSignature, 'value'>,
): Uint8Array =>
  textBytes(`dwellmark ${kind} signature 1\n${canonicalJson({ statement, signer, signedAt, publicKey })}`);

/** Why a statement's signature does not hold, or null. Whose key it is has to be known from elsewhere. */
export function* statementSignatureFault(
  kind: StatementKind,
  statement: unknown,
  signature: unknown,
  enrolledKey?: string,
): Asking<string | null> {
  const form = statementSignatureSchema.safeParse(signature);
  if (!form.success) return `not a signature: ${form.error.issues[0]?.path.join('.')} ${form.error.issues[0]?.message}`;
  const { signer, publicKey, value } = form.data;
  if (enrolledKey !== undefined && enrolledKey !== publicKey)
    return `made with a key that is not enrolled for ${signer.name}`;
  const [key, bytes] = [base64Bytes(publicKey), base64Bytes(value)];
  const fits =
    key !== null && bytes !== null && (yield* ed25519Fits(key, statementBytes(kind, statement, form.data), bytes));
  return fits ? null : `the signature of ${signer.name} does not fit what it signs`;
}
