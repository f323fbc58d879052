import { findShop } from '../../bench/index.js';
import { openStore, type Role } from '../../record/index.js';
import {
  changePassphrase,
  keyFingerprint,
  listSigners,
  readNewPassphrase,
  readPassphrase,
} from '../../signing/index.js';
import type { CommonOptions } from '../common-options.js';
import { say, sayJson } from '../output.js';
import { enrol } from '../shop/found-shop.js';
import { acceptablePassphrase } from '../shop/new-passphrase.js';

export interface SignerAddOptions extends CommonOptions {
  readonly name: string;
  readonly role: Role;
  readonly organisation?: string;
  readonly passphraseFd?: number;
}

/** `dwellmark signer add`: a person's own key, its private half under a passphrase. */
export async function add(id: string, options: SignerAddOptions): Promise<void> {
  const shop = findShop(options.shop);
  const { name, role, organisation, passphraseFd } = options;
  const passphrase = await acceptablePassphrase(`New passphrase of ${name}: `, { id, name }, passphraseFd);
  enrol(shop, { id, name, role, passphrase, ...(organisation === undefined ? {} : { organisation }) });
  if (options.json) sayJson({ id, name, role });
  else say(`${name} may sign as ${role} under "${id}".`);
}

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
  readonly by: string;
  readonly reason: string;
}

/** `dwellmark signer revoke`: no new signatures from now on; earlier ones stand. */
export function revoke(id: string, options: SignerRevokeOptions): void {
  const store = openStore(findShop(options.shop).database, { mode: 'write' });
  try {
    store.revokeSigner(id, { by: options.by, reason: options.reason });
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
  changePassphrase(shop.keys, id, {
    old,
    new: await readNewPassphrase({ prompt: 'New passphrase: ', fd: options.passphraseFd }),
  });
  if (options.json) sayJson({ id, changed: true });
  else say(`The passphrase of "${id}" is changed.`);
}
