import { checkedTest, judgeStored } from '../audit/index.js';
import type { Shop } from '../bench/index.js';
import {
  type EnrolledSigner,
  isoWithOffset,
  type RecordSignature,
  type SignatureMeaning,
  type Store,
  type StoredTest,
} from '../record/index.js';
import { maySign, signRecord } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import { enrolledPerson, unlocked } from './proven-person.js';

export interface Signing {
  readonly test: string;
  /** Head of the record that the person was shown. */
  readonly head: string | null;
  /** Whose key signs. */
  readonly signer: string;
  readonly meaning: SignatureMeaning;
  readonly remark: string;
  readonly passphrase: string;
}

/**
 * Signs one sealed record into the store, once the record has been checked.
 * @throws DwellmarkError (`altered`) for a record that is not as it was sealed, (`refused`) when the person may not sign
 *   it, or the passphrase is wrong; a key that locks leaves a line in the ledger.
 */
export function signTest(store: Store, shop: Shop, signing: Signing): RecordSignature {
  const { test, meaning, remark: words } = signing;
  const head = signable(checkedTest(store, test, judgeStored), enrolledPerson(store, signing.signer), shop, signing);
  const person = unlocked(store, shop, signing.signer, signing.passphrase);
  const signedAt = isoWithOffset(new Date());
  const signature = signRecord(person, { test, head, meaning, remark: words, signedAt });
  // Somebody else may have signed, voided or revoked while the passphrase was typed.
  store.together(() => {
    signable(store.test(test), enrolledPerson(store, signing.signer), shop, signing);
    store.addSignature(signature);
  });
  return signature;
}

/** The head to be signed. @throws DwellmarkError (`refused`) when this person can't sign this record now. */
function signable(stored: StoredTest, signer: EnrolledSigner, shop: Shop, signing: Signing): string {
  const { header, head, result, voided } = stored;
  const { test, meaning } = signing;
  if (head === null || !result)
    throw new DwellmarkError('refused', `test ${test} is not sealed: there is nothing to sign`, {
      advice: 'Close it with `dwellmark test --resume`.',
    });
  if (head !== signing.head)
    throw new DwellmarkError('refused', `test ${test} is not as it was shown`, { advice: 'Look at it again.' });
  if (voided) throw new DwellmarkError('refused', `test ${test} was voided: ${voided.reason}`);
  if (stored.signatures.some((signature) => signature.signer.id === signer.id && signature.meaning === meaning))
    throw new DwellmarkError('refused', `${signer.name} has signed ${test} as "${meaning}" already`);
  const against = maySign({
    rules: shop.signatures,
    technician: header.technician,
    signer,
    meaning,
    verdict: result.verdict,
    revokedAt: signer.revoked?.at ?? null,
    rejectedBy: stored.signatures.find((signature) => signature.meaning === 'rejected')?.signer.name ?? null,
  });
  if (against !== null) throw new DwellmarkError('refused', against);
  return head;
}
