import * as z from 'zod';
import {
  type Asking,
  base64Bytes,
  canonicalJson,
  ed25519Fits,
  type RecordSignature,
  type SignatureMeaning,
  textBytes,
} from '../record/index.js';
import { plainLine, signerSchema } from './signer-form.js';

/** First line of what is signed: a signature made for anything else never fits a record. */
export const recordSignatureDomain = 'dwellmark record signature 1\n';

const meanings = [
  'performed',
  'reviewed and released',
  'rejected',
  'witnessed',
] as const satisfies readonly SignatureMeaning[];

export const unsignedSchema = /* @__PURE__ */ z.strictObject({
  test: plainLine.min(1).max(60),
  head: z.string().regex(/^[0-9a-f]{64}$/, 'must be a SHA-256 in lower-case hex'),
  signer: signerSchema.omit({ publicKey: true }),
  meaning: z.enum(meanings),
  remark: plainLine.max(500),
  signedAt: z.iso.datetime({ offset: true }),
  publicKey: signerSchema.shape.publicKey,
});

const signatureSchema = /* @__PURE__ */ unsignedSchema.extend({
  value: z
    .string()
    .regex(/^[A-Za-z0-9+/]{86}==$/, 'must be 64 bytes in base64')
    .refine((text) => base64Bytes(text) !== null, 'must be plain base64'),
});

/** What the caller knows about the signature from elsewhere: the store, or the attached record. */
export interface ExpectedSignature {
  readonly test?: string;
  readonly head?: string;
  /** The key that the ledger holds for this signer. */
  readonly publicKey?: string;
}

/**
 * What is wrong with a signature's own arithmetic and form, or with the record it belongs to; null when nothing is.
 * Without `expected.publicKey` it says that the key in it signed it, not whose key that is.
 */
export function* signatureFault(signature: RecordSignature, expected: ExpectedSignature = {}): Asking<string | null> {
  const form = signatureSchema.safeParse(signature);
  if (!form.success) return `not a record signature: ${firstFault(form.error)}`;
  const { test, head, publicKey, signer, value } = form.data;
  if (expected.test !== undefined && expected.test !== test) return `signs ${test}, not ${expected.test}`;
  if (expected.head !== undefined && expected.head !== head) return 'signs another state of the record';
  if (expected.publicKey !== undefined && expected.publicKey !== publicKey) {
    return `made with a key that is not enrolled for ${signer.name}`;
  }
  const [key, bytes] = [base64Bytes(publicKey), base64Bytes(value)];
  const fits = key !== null && bytes !== null && (yield* ed25519Fits(key, signedBytes(form.data), bytes));
  return fits ? null : `the signature of ${signer.name} does not fit what it signs`;
}

/** The bytes under a record signature: the domain line, then the RFC 8785 form of the signature without `value`. */
export function signedBytes(signature: Omit<RecordSignature, 'value'>): Uint8Array {
  const { value: _, ...unsigned } = signature as RecordSignature;
  return textBytes(recordSignatureDomain + canonicalJson(unsigned));
}

export function firstFault(error: z.ZodError): string {
  const issue = error.issues[0];
  return `${issue?.path.join('.')} ${issue?.message}`.trim();
}
