import type { Shop } from '../../bench/index.js';
import type { Role, Store } from '../../record/index.js';
import {
  listSigners,
  readPassphrase,
  type SignerPublic,
  type UnlockedSigner,
  UnlockRefused,
  unlockSigner,
} from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';
import { choose } from '../ask.js';

/**
 * The signer that was named, the only one there is, or the one chosen on the terminal.
 * @throws DwellmarkError (`usage`) when there is none or nobody can be asked, (`input`) for an unknown one.
 */
export async function chosenSigner(shop: Shop, id: string | undefined): Promise<SignerPublic> {
  const signers = listSigners(shop.keys);
  if (signers.length === 0)
    throw new DwellmarkError('usage', 'this shop has no signers', { advice: 'Enrol one with `dwellmark signer add`.' });
  const [only] = signers;
  if (id === undefined && signers.length === 1 && only) return only;
  const wanted =
    id ??
    (await choose(
      'Who signs',
      signers.map((signer) => signer.id),
      '--signer ID',
    ));
  const found = signers.find((signer) => signer.id === wanted);
  if (!found)
    throw new DwellmarkError('input', `there is no signer "${wanted}"`, {
      advice: `Known: ${signers.map((signer) => signer.id).join(', ')}.`,
    });
  return found;
}

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
  /** As in "… is signed by": `a recall`. */
  readonly what: string;
  readonly roles: readonly Role[];
}

/**
 * A person who may do something, enrolled in this record, not revoked, and proven by the passphrase.
 * @throws DwellmarkError (`refused`) when the person may not, or the passphrase is wrong.
 */
export async function entitledPerson(
  store: Store,
  shop: Shop,
  { what, roles }: Entitlement,
  given: { readonly signer?: string; readonly passphraseFd?: number },
): Promise<UnlockedSigner> {
  const signer = await chosenSigner(shop, given.signer);
  const enrolled = store.signers().find(({ id }) => id === signer.id);
  if (!enrolled || enrolled.publicKey !== signer.publicKey)
    throw new DwellmarkError('refused', `the key of "${signer.id}" is not the one enrolled in this record`);
  if (enrolled.revoked)
    throw new DwellmarkError('refused', `the key of ${enrolled.name} was revoked on ${enrolled.revoked.at}`);
  if (!roles.includes(enrolled.role))
    throw new DwellmarkError(
      'refused',
      `${what} is for the role ${roles.join(' or ')}; ${enrolled.name} is ${enrolled.role}`,
      {
        advice: 'Name someone else with --signer ID.',
      },
    );
  const passphrase = await readPassphrase({ prompt: `Passphrase of ${enrolled.name}: `, fd: given.passphraseFd });
  return unlocked(store, shop, signer.id, passphrase);
}
