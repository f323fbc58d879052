import type { Shop } from '../bench/index.js';
import type { EnrolledSigner, Role, Store } from '../record/index.js';
import { listSigners, type UnlockedSigner, UnlockRefused, unlockSigner } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';

/**
 * A person's key, opened. Name and role are those of the ledger: a key file that says otherwise is refused. A key that
 * locks leaves a line in the ledger.
 * @throws UnlockRefused for a wrong passphrase, DwellmarkError (`refused`, `altered`) for a key that is not enrolled.
 */
export function unlocked(store: Store, shop: Shop, id: string, passphrase: string): UnlockedSigner {
  const person = enrolledPerson(store, id);
  try {
    const opened = unlockSigner(shop.keys, id, passphrase);
    demandSame(opened.signer, person);
    return opened;
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

function demandSame(file: UnlockedSigner['signer'], person: EnrolledSigner): void {
  if (file.publicKey !== person.publicKey)
    throw new DwellmarkError('refused', `the key of "${person.id}" is not the one enrolled in this record`);
  const other = (['name', 'role', 'organisation'] as const).find((key) => file[key] !== person[key]);
  if (other !== undefined)
    throw new DwellmarkError(
      'altered',
      `the key file of "${person.id}" says ${other} "${file[other]}", the ledger "${person[other]}"`,
      { advice: 'Restore the key file, or revoke the key and enrol the person anew.' },
    );
}

/** A person as the ledger has one: the only place a name or a role is read from. @throws DwellmarkError (`refused`). */
export function enrolledPerson(store: Store, id: string): EnrolledSigner {
  const found = store.signers().find((signer) => signer.id === id);
  if (found) return found;
  throw new DwellmarkError('refused', `nobody is enrolled in this record as "${id}"`, {
    advice: '`dwellmark signer list` shows who is.',
  });
}

/** Everyone enrolled and not revoked whose key file is in the shop's folder. */
export function peopleHere(store: Store, shop: Shop): EnrolledSigner[] {
  const here = new Set(listSigners(shop.keys).map(({ id }) => id));
  return store.signers().filter(({ id, revoked }) => revoked === null && here.has(id));
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
 * A person who may do something: enrolled in this record, not revoked, of a role that is entitled.
 * @throws DwellmarkError (`refused`) when the person may not.
 */
export function demandEntitled(store: Store, { what, roles }: Entitlement, id: string): EnrolledSigner {
  const person = enrolledPerson(store, id);
  if (person.revoked)
    throw new DwellmarkError('refused', `the key of ${person.name} was revoked on ${person.revoked.at}`);
  if (!roles.includes(person.role))
    throw new DwellmarkError(
      'refused',
      `${what} is for the role ${roles.join(' or ')}; ${person.name} is ${person.role}`,
      { advice: 'Name someone else.' },
    );
  return person;
}

/** Such a person, proven by the passphrase. @throws DwellmarkError (`refused`), also for a wrong passphrase. */
export function provenPerson(
  store: Store,
  shop: Shop,
  entitlement: Entitlement,
  id: string,
  passphrase: string,
): UnlockedSigner {
  demandEntitled(store, entitlement, id);
  return unlocked(store, shop, id, passphrase);
}
