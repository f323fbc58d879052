import type { Shop } from '../../bench/index.js';
import { demandEntitled, type Entitlement, unlocked } from '../../quality/index.js';
import type { Store } from '../../record/index.js';
import { listSigners, readPassphrase, type SignerPublic, type UnlockedSigner } from '../../signing/index.js';
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

/**
 * A person who may do something, chosen and proven at the terminal.
 * @throws DwellmarkError (`refused`) when the person may not, or the passphrase is wrong.
 */
export async function entitledPerson(
  store: Store,
  shop: Shop,
  entitlement: Entitlement,
  given: { readonly signer?: string; readonly passphraseFd?: number },
): Promise<UnlockedSigner> {
  const signer = await chosenSigner(shop, given.signer);
  demandEntitled(store, entitlement, signer);
  const passphrase = await readPassphrase({ prompt: `Passphrase of ${signer.name}: `, fd: given.passphraseFd });
  return unlocked(store, shop, signer.id, passphrase);
}
