import type { Shop } from '../bench/index.js';
import type { Role, Store } from '../record/index.js';
import { type SignerPublic, type UnlockedSigner, UnlockRefused, unlockSigner } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';

/** A person's key, opened. A key that locks leaves a line in the ledger. @throws UnlockRefused. */
export function unlocked(store: Store, shop: Shop, id: string, passphrase: string): UnlockedSigner {
  try {
    return unlockSigner(shop.keys, id, passphrase);
  } catch (error) {
    if (error instanceof UnlockRefused && error.lockedUntil)
      store.act(
        'signer locked out',
        { id, failures: error.failures, until: error.lockedUntil.toISOString() },
        { subject: id },
      );
    throw error;
  }
}

/** What a person wants to do, in words, and who may. */
export interface Entitlement {
  /** As in "… is for the role": `a recall`. */
  readonly what: string;
  readonly roles: readonly Role[];
}

/** Who decides about a record that stands: a recall, a void. */
export const recordDeciders: readonly Role[] = ['qa', 'administrator'];

/**
 * A person who may do something: enrolled in this record with this key, not revoked, of a role that is entitled.
 * @throws DwellmarkError (`refused`) when the person may not.
 */
export function demandEntitled(store: Store, { what, roles }: Entitlement, signer: SignerPublic): void {
  const enrolled = store.signers().find(({ id }) => id === signer.id);
  if (!enrolled || enrolled.publicKey !== signer.publicKey)
    throw new DwellmarkError('refused', `the key of "${signer.id}" is not the one enrolled in this record`);
  if (enrolled.revoked)
    throw new DwellmarkError('refused', `the key of ${enrolled.name} was revoked on ${enrolled.revoked.at}`);
  if (!roles.includes(enrolled.role))
    throw new DwellmarkError(
      'refused',
      `${what} is for the role ${roles.join(' or ')}; ${enrolled.name} is ${enrolled.role}`,
      { advice: 'Name someone else.' },
    );
}

/** Such a person, proven by the passphrase. @throws DwellmarkError (`refused`), also for a wrong passphrase. */
export function provenPerson(
  store: Store,
  shop: Shop,
  entitlement: Entitlement,
  signer: SignerPublic,
  passphrase: string,
): UnlockedSigner {
  demandEntitled(store, entitlement, signer);
  return unlocked(store, shop, signer.id, passphrase);
}
