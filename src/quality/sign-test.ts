import type { Shop } from '../bench/index.js';
import {
  isoWithOffset,
  type RecordSignature,
  type SignatureMeaning,
  type Store,
  type StoredTest,
} from '../record/index.js';
import { maySign, type SignerPublic, signRecord } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import { unlocked } from './proven-person.js';

export interface Signing {
  readonly stored: StoredTest;
  readonly signer: SignerPublic;
  readonly meaning: SignatureMeaning;
  readonly remark: string;
  readonly passphrase: string;
}

/**
 * Signs one sealed record into the store.
 * @throws DwellmarkError (`refused`) when the person may not sign it, or the passphrase is wrong; a key that locks
 *   leaves a line in the ledger.
 */
export function signTest(
  store: Store,
  shop: Shop,
  { stored, signer, meaning, remark: words, passphrase }: Signing,
): RecordSignature {
  const { header, head, result, voided } = stored;
  const { test } = header;
  if (head === null || !result)
    throw new DwellmarkError('refused', `test ${test} is not sealed: there is nothing to sign`, {
      advice: 'Close it with `dwellmark test --resume`.',
    });
  if (voided) throw new DwellmarkError('refused', `test ${test} was voided: ${voided.reason}`);
  const enrolled = store.signers().find(({ id }) => id === signer.id);
  if (!enrolled || enrolled.publicKey !== signer.publicKey)
    throw new DwellmarkError('refused', `the key of "${signer.id}" is not the one enrolled in this record`);
  if (stored.signatures.some((signature) => signature.signer.id === signer.id && signature.meaning === meaning))
    throw new DwellmarkError('refused', `${signer.name} has signed ${test} as "${meaning}" already`);
  const question = {
    rules: shop.signatures,
    technician: header.technician,
    signer,
    meaning,
    verdict: result.verdict,
    revokedAt: enrolled.revoked?.at ?? null,
  };
  const against = maySign(question);
  if (against !== null) throw new DwellmarkError('refused', against);
  const signedAt = isoWithOffset(new Date());
  const signature = signRecord(unlocked(store, shop, signer.id, passphrase), {
    test,
    head,
    meaning,
    remark: words,
    signedAt,
  });
  store.addSignature(signature);
  return signature;
}
