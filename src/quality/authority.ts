import { demandSoundLedger, hasAuthority, statementOf } from '../audit/index.js';
import type { Shop } from '../bench/index.js';
import { type EnrolledSigner, isoWithOffset, type Role, type StatementSignature, type Store } from '../record/index.js';
import {
  certificateFingerprint,
  makeSigner,
  renewShopCertificate,
  type StatementKind,
  signStatement,
  type UnlockedSigner,
} from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import { type Entitlement, enrolledPerson } from './proven-person.js';

/** A person to be enrolled, with the passphrase of the new key. */
export interface NewPerson {
  readonly id: string;
  /** As printed beside the signature. */
  readonly name: string;
  readonly role: Role;
  readonly passphrase: string;
  /** The shop's when absent. */
  readonly organisation?: string | undefined;
}

/** Who enrols people and revokes keys. */
export const enrolling: Entitlement = { what: 'enrolling and revoking', roles: ['administrator'] };

/** Who makes a new certificate to sign papers with. */
export const renewing: Entitlement = { what: 'a renewal', roles: ['administrator'] };

/** The signature of a person under an act of the ledger: its body, with what it is about. */
export function signedAct(
  by: UnlockedSigner,
  kind: StatementKind,
  about: { readonly test?: string; readonly subject?: string },
  body: Readonly<Record<string, unknown>>,
): StatementSignature {
  const statement = statementOf({ test: about.test ?? null, subject: about.subject ?? null, body });
  return signStatement(by, kind, statement, isoWithOffset(new Date()));
}

/**
 * Makes a person's key and enrols it. In a record without an administrator the first one enrols with the own key
 * (`by` is null then), and from that line on every enrolment, revocation, void and reissue needs a signature.
 * @returns the key, open until the program ends.
 * @throws DwellmarkError (`refused`) for an id, or a name in the same role, that is enrolled; for a first person who is
 *   no administrator.
 */
export function enrolPerson(store: Store, shop: Shop, person: NewPerson, by: UnlockedSigner | null): UnlockedSigner {
  const { id, name, role, passphrase, organisation = shop.name } = person;
  demandSoundLedger(store);
  demandNew(store.signers(), person);
  if (by === null && (role !== 'administrator' || hasAuthority(store.signers())))
    throw new DwellmarkError('refused', 'an enrolment is signed by an administrator', {
      advice: hasAuthority(store.signers())
        ? 'Name one with --signer.'
        : 'Enrol one first: `dwellmark signer add admin --name "…" --role administrator`.',
    });
  const made = makeSigner({ dir: shop.keys, id, name, role, organisation, passphrase });
  store.addSigner(made.signer, signedAct(by ?? made, 'enrolment', { subject: id }, { ...made.signer }));
  return made;
}

/** Ends a key. @throws DwellmarkError (`refused`) for the last administrator's: nobody could enrol any more. */
export function revokePerson(store: Store, id: string, reason: string, by: UnlockedSigner): void {
  demandSoundLedger(store);
  const person = enrolledPerson(store, id);
  const others = store.signers().filter((one) => one.role === 'administrator' && !one.revoked && one.id !== id);
  if (person.role === 'administrator' && others.length === 0)
    throw new DwellmarkError('refused', `"${id}" is the only administrator`, {
      advice: 'Enrol another administrator first: nobody else could enrol one afterwards.',
    });
  const why = { by: by.signer.name, reason };
  store.revokeSigner(id, { ...why, signature: signedAct(by, 'revocation', { subject: id }, { id, ...why }) });
}

/** What a renewal made. */
export interface Renewed {
  /** Of the new certificate, in fours. */
  readonly sha256: string;
  readonly until: string;
}

/**
 * Makes a new certificate to sign papers with, under the same root: papers handed out and customers' trust stay as they are.
 * @param passphrase opens the root's key. @throws DwellmarkError (`refused`) when it does not; the old one stays then.
 */
export async function renewCertificate(
  store: Store,
  shop: Shop,
  by: UnlockedSigner,
  passphrase: string,
): Promise<Renewed> {
  demandSoundLedger(store);
  const { leaf } = await renewShopCertificate({ dir: shop.keys, shopName: shop.name, now: new Date(), passphrase });
  const made: Renewed = { sha256: certificateFingerprint(leaf.toString()), until: leaf.validTo };
  const body = { by: by.signer.name, ...made };
  store.act('shop certificate renewed', { ...body, signature: signedAct(by, 'renewal', {}, body) });
  return made;
}

/** One name has one key in a role: a second one is a change of key, and the first is revoked before. */
function demandNew(signers: readonly EnrolledSigner[], { id, name, role }: NewPerson): void {
  const folded = (text: string): string => text.normalize('NFKC').trim().replace(/\s+/g, ' ').toLowerCase();
  const same = signers.find((one) => !one.revoked && one.role === role && folded(one.name) === folded(name));
  if (same && same.id !== id)
    throw new DwellmarkError('refused', `${same.name} is enrolled as ${role} already, under "${same.id}"`, {
      advice: `Revoke that key first: \`dwellmark signer revoke ${same.id} --reason "…"\`.`,
    });
}
