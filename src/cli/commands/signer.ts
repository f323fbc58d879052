import { hasAuthority } from '../../audit/index.js';
import { findShop } from '../../bench/index.js';
import { enrolledPerson, enrolling, enrolPerson, revokePerson } from '../../quality/index.js';
import { openStore, type Role, type Store } from '../../record/index.js';
import {
  changePassphrase,
  keyFingerprint,
  listSigners,
  readNewPassphrase,
  readPassphrase,
  resealRootKey,
} from '../../signing/index.js';
import { DwellmarkError, oneLine } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';
import { acceptablePassphrase } from '../shop/new-passphrase.js';
import { entitledPerson } from '../shop/signing-person.js';

export interface SignerAddOptions extends CommonOptions {
  readonly name: string;
  readonly role: Role;
  readonly organisation?: string;
  readonly signer?: string;
  readonly passphraseFd?: number;
}

/** `dwellmark signer add`: a person's own key, its private half under a passphrase, enrolled by an administrator. */
export async function add(id: string, options: SignerAddOptions): Promise<void> {
  const shop = findShop(options.shop);
  const { name, role, organisation, passphraseFd } = options;
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const first = role === 'administrator' && !hasAuthority(store.signers());
    let typed: string | undefined;
    const by = first ? null : await entitledPerson(store, shop, enrolling, options, (words) => (typed = words));
    const passphrase = await acceptablePassphrase(`New passphrase of ${name}: `, { id, name }, passphraseFd, typed);
    enrolPerson(store, shop, { id, name, role, passphrase, organisation }, by);
    for (const other of namesakes(store, id, name))
      remark(`Note: ${other.name} has another key too: "${other.id}" (${other.role}). audit lists it.`);
  } finally {
    store.close();
  }
  if (options.json) sayJson({ id, name, role });
  else
    say(
      role === 'administrator'
        ? `${name} may enrol people, revoke keys and void records as administrator under "${id}".`
        : `${name} may sign as ${role} under "${id}".`,
    );
}

const namesakes = (store: Store, id: string, name: string) =>
  store.signers().filter((one) => one.id !== id && one.name === name && one.revoked === null);

/** `dwellmark signer list`: everyone ever enrolled. */
export function list(options: CommonOptions): void {
  const shop = findShop(options.shop);
  const store = openStore(shop.database, { mode: 'read' });
  try {
    const here = new Set(listSigners(shop.keys).map(({ id }) => id));
    const signers = store.signers();
    if (options.json) return sayJson(signers);
    for (const signer of signers) {
      const state = signer.revoked
        ? `revoked ${signer.revoked.at}: ${signer.revoked.reason}`
        : here.has(signer.id)
          ? 'key here'
          : 'key elsewhere';
      say(
        `${signer.id.padEnd(12)}  ${signer.name} (${signer.role}, ${signer.organisation})  key ${keyFingerprint(signer.publicKey)}  ${state}`,
      );
    }
  } finally {
    store.close();
  }
}

export interface SignerRevokeOptions extends CommonOptions {
  readonly reason: string;
  readonly signer?: string;
  readonly passphraseFd?: number;
}

/** `dwellmark signer revoke`: no new signatures from now on; earlier ones stand. */
export async function revoke(id: string, options: SignerRevokeOptions): Promise<void> {
  const shop = findShop(options.shop);
  const reason = oneLine(options.reason, '--reason');
  if (reason === '') throw new DwellmarkError('usage', 'a revocation needs a reason: --reason is empty');
  const store = openStore(shop.database, { mode: 'write' });
  try {
    enrolledPerson(store, id);
    revokePerson(store, id, reason, await entitledPerson(store, shop, enrolling, options));
    if (options.json) sayJson({ id, revoked: true });
    else say(`The key of "${id}" is revoked. Signatures made before stand.`);
  } finally {
    store.close();
  }
}

/** `dwellmark signer passphrase`: the same key under another passphrase. */
export async function passphrase(
  id: string,
  options: CommonOptions & { readonly passphraseFd?: number },
): Promise<void> {
  const shop = findShop(options.shop);
  const old = await readPassphrase({ prompt: `Passphrase of "${id}": `, fd: options.passphraseFd });
  const words = { old, new: await readNewPassphrase({ prompt: 'New passphrase: ', fd: options.passphraseFd }) };
  changePassphrase(shop.keys, id, words);
  if (resealRootKey(shop.keys, words)) remark("The root's key is sealed with the new passphrase too.");
  if (options.json) sayJson({ id, changed: true });
  else say(`The passphrase of "${id}" is changed.`);
}
