import type { Shop } from '../../bench/index.js';
import { demandEntitled, type Entitlement, peopleHere, unlocked } from '../../quality/index.js';
import type { EnrolledSigner, Store } from '../../record/index.js';
import { openKeyFiles, readPassphrase, type UnlockedSigner } from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';
import { choose } from '../ask.js';
import { remark } from '../output.js';

/**
 * The signer that was named, the only one of the roles wanted, or the one chosen on the terminal.
 * @param roles who may; everyone when absent.
 * @throws DwellmarkError (`usage`) when there is none or nobody can be asked, (`input`) for an unknown one.
 */
export async function chosenSigner(
  store: Store,
  shop: Shop,
  id: string | undefined,
  roles?: Entitlement['roles'],
): Promise<EnrolledSigner> {
  for (const file of openKeyFiles(shop.keys))
    remark(`Warning: others on this computer may read ${file}. Close it: chmod go= ${file}`);
  const signers = peopleHere(store, shop);
  const able = signers.filter(({ role }) => roles === undefined || roles.includes(role));
  if (able.length === 0 && id === undefined)
    throw new DwellmarkError('usage', `no key of this shop belongs to ${roles?.join(' or ') ?? 'anybody'}`, {
      advice: 'Enrol the person with `dwellmark signer add`.',
    });
  const [only] = able;
  if (id === undefined && able.length === 1 && only) return only;
  const wanted =
    id ??
    (await choose(
      'Who signs',
      able.map((signer) => signer.id),
      '--signer ID',
    ));
  const found = store.signers().find((signer) => signer.id === wanted);
  if (!found)
    throw new DwellmarkError('input', `there is no signer "${wanted}"`, {
      advice: `Known: ${signers.map((signer) => signer.id).join(', ')}.`,
    });
  return found;
}

/**
 * A person who may do something, chosen and proven at the terminal.
 * @param typed told of the passphrase.
 * @throws DwellmarkError (`refused`) when the person may not, or the passphrase is wrong.
 */
export async function entitledPerson(
  store: Store,
  shop: Shop,
  entitlement: Entitlement,
  given: { readonly signer?: string | undefined; readonly passphraseFd?: number | undefined },
  typed?: (passphrase: string) => void,
): Promise<UnlockedSigner> {
  const signer = await chosenSigner(store, shop, given.signer, entitlement.roles);
  demandEntitled(store, entitlement, signer.id);
  const passphrase = await readPassphrase({ prompt: `Passphrase of ${signer.name}: `, fd: given.passphraseFd });
  typed?.(passphrase);
  return unlocked(store, shop, signer.id, passphrase);
}
