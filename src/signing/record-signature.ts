import { verify } from 'node:crypto';
import { z } from 'zod';
import { canonicalJson, type RecordSignature, type SignatureMeaning } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import { publicKeyOf } from './ed25519.js';
import { roleFor } from './may-sign.js';
import { plainLine, signerSchema } from './people/person-file.js';
import type { UnlockedSigner } from './people/signer.js';

/** First line of what is signed: a signature made for anything else never fits a record. */
export const recordSignatureDomain = 'dwellmark record signature 1\n';

const meanings = [
  'performed',
  'reviewed and released',
  'rejected',
  'witnessed',
] as const satisfies readonly SignatureMeaning[];

const signaturePattern = /^[A-Za-z0-9+/]{86}==$/;

const unsignedSchema = z.strictObject({
  test: plainLine.min(1).max(60),
  head: z.string().regex(/^[0-9a-f]{64}$/, 'must be a SHA-256 in lower-case hex'),
  signer: signerSchema.omit({ publicKey: true }),
  meaning: z.enum(meanings),
  remark: plainLine.max(500),
  signedAt: z.iso.datetime({ offset: true }),
  publicKey: signerSchema.shape.publicKey,
});

const signatureSchema = unsignedSchema.extend({
  value: z
    .string()
    .regex(signaturePattern, 'must be 64 bytes in base64')
    .refine((text) => Buffer.from(text, 'base64').toString('base64') === text, 'must be plain base64'),
});

/** What a person puts a name to. */
export interface RecordToSign {
  readonly test: string;
  /** SHA-256 head of the test's sealed chain, lower-case hex. */
  readonly head: string;
  readonly meaning: SignatureMeaning;
  readonly remark: string;
  /** ISO 8601 with offset. */
  readonly signedAt: string;
}

/**
 * Signs a sealed record. Ask `maySign` first: here only role and meaning are held against each other.
 *
 * Throws `refused` when they don't go together, `input` for a remark with control characters.
 */
export function signRecord(unlocked: UnlockedSigner, record: RecordToSign): RecordSignature {
  const { publicKey, ...signer } = unlocked.signer;
  if (signer.role !== roleFor(record.meaning)) {
    throw new DwellmarkError('refused', `${signer.name} is ${signer.role} and can't sign as '${record.meaning}'`);
  }
  const { test, head, meaning, remark, signedAt } = record;
  const unsigned = { test, head, signer, meaning, remark, signedAt, publicKey };
  const checked = unsignedSchema.safeParse(unsigned);
  if (!checked.success) throw new DwellmarkError('input', `signature of ${test}: ${firstFault(checked.error)}`);
  return { ...unsigned, value: unlocked.sign(signedBytes(unsigned)).toString('base64') };
}

/** What the caller knows about the signature from elsewhere: the store, or the attached record. */
export interface ExpectedSignature {
  readonly test?: string;
  readonly head?: string;
  /** The key that the ledger holds for this signer. */
  readonly publicKey?: string;
}

/**
 * Checks a signature's own arithmetic and form, and that it belongs to the record expected. Without
 * `expected.publicKey` it says that the key in it signed it, not whose key that is.
 */
export function verifyRecordSignature(
  signature: RecordSignature,
  expected: ExpectedSignature = {},
): { readonly ok: boolean; readonly why: string | null } {
  const why = fault(signature, expected);
  return { ok: why === null, why };
}

/** The bytes under a record signature: the domain line, then the RFC 8785 form of the signature without `value`. */
export function signedBytes(signature: Omit<RecordSignature, 'value'>): Buffer {
  const { value: _, ...unsigned } = signature as RecordSignature;
  return Buffer.from(recordSignatureDomain + canonicalJson(unsigned), 'utf8');
}

function fault(signature: RecordSignature, expected: ExpectedSignature): string | null {
  const form = signatureSchema.safeParse(signature);
  if (!form.success) return `not a record signature: ${firstFault(form.error)}`;
  const { test, head, publicKey, signer, value } = form.data;
  if (expected.test !== undefined && expected.test !== test) return `signs ${test}, not ${expected.test}`;
  if (expected.head !== undefined && expected.head !== head) return 'signs another state of the record';
  if (expected.publicKey !== undefined && expected.publicKey !== publicKey) {
    return `made with a key that is not enrolled for ${signer.name}`;
  }
  const key = publicKeyOf(Buffer.from(publicKey, 'base64'));
  const fits = key !== null && verify(null, signedBytes(form.data), key, Buffer.from(value, 'base64'));
  return fits ? null : `the signature of ${signer.name} does not fit what it signs`;
}

function firstFault(error: z.ZodError): string {
  const issue = error.issues[0];
  return `${issue?.path.join('.')} ${issue?.message}`.trim();
}
