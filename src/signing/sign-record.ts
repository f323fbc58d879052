import type { RecordSignature, SignatureMeaning } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import { answeredNow } from './answered-now.js';
import { roleFor } from './may-sign.js';
import type { UnlockedSigner } from './people/signer.js';
import { type ExpectedSignature, firstFault, signatureFault, signedBytes, unsignedSchema } from './record-signature.js';

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

/** Checks a signature at once: what {@link signatureFault} finds. */
export function verifyRecordSignature(
  signature: RecordSignature,
  expected: ExpectedSignature = {},
): { readonly ok: boolean; readonly why: string | null } {
  const why = answeredNow(signatureFault(signature, expected));
  return { ok: why === null, why };
}
