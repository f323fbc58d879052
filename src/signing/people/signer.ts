import { createPublicKey, generateKeyPairSync, type KeyObject, sign } from 'node:crypto';
import { existsSync } from 'node:fs';
import type { Role } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { rawPublicKey } from '../ed25519.js';
import { makePrivateFolder, writeNewPrivateFile, writePrivateFile } from '../private-file.js';
import { type SignerPublic, signerSchema } from '../signer-form.js';
import { failedOnceMore, forgetAttempts, lockedUntil, readAttempts, writeAttempts } from './lockout.js';
import { passphraseWeakness } from './passphrase.js';
import { ownerText, type Person, personPath, personText, readPerson } from './person-file.js';
import { openKey, sealKey } from './sealed-key.js';

export interface NewSigner {
  /** Folder of the shop's key files; made if missing. */
  readonly dir: string;
  readonly id: string;
  /** As it is printed beside the signature. */
  readonly name: string;
  readonly role: Role;
  readonly organisation: string;
  readonly passphrase: string;
}

/** A person who has just given the passphrase. The private key can't be read out of it. */
export interface UnlockedSigner {
  readonly signer: SignerPublic;
  /** Wrong passphrases in a row before this right one. */
  readonly failuresBefore: number;
  /** Ed25519 over `bytes`. */
  sign(bytes: Uint8Array): Buffer;
}

/** Why a person's key stays shut. Carries what the ledger's line needs. */
export class UnlockRefused extends DwellmarkError {
  readonly signerId: string;
  readonly reason: 'passphrase' | 'locked';
  /** Wrong passphrases in a row, this one included. */
  readonly failures: number;
  /** Set when the key is locked now: the moment it may be tried again. */
  readonly lockedUntil: Date | null;

  constructor(signerId: string, reason: 'passphrase' | 'locked', failures: number, until: Date | null) {
    const what = reason === 'passphrase' ? 'the passphrase does not open the key' : 'the key is locked';
    super('refused', `${what} of '${signerId}' (${failures} wrong in a row)`, {
      advice: until === null ? 'Try again.' : `Try again after ${until.toISOString()}.`,
    });
    this.signerId = signerId;
    this.reason = reason;
    this.failures = failures;
    this.lockedUntil = until;
  }
}

/**
 * Makes a person's key and writes the key file (0600, in a folder 0700). The key stays open: what its owner signs at
 * once needs no passphrase.
 *
 * Throws `input` for a name, id or passphrase that won't do, `refused` when the id is taken.
 */
export function makeSigner(person: NewSigner): UnlockedSigner {
  const path = personPath(person.dir, person.id);
  if (existsSync(path)) throw taken(person.id, path);
  const { publicKey, privateKey } = generateKeyPairSync('ed25519');
  const signer = signerSchema.safeParse({
    id: person.id,
    name: person.name,
    role: person.role,
    organisation: person.organisation,
    publicKey: rawPublicKey(publicKey).toString('base64'),
  });
  if (!signer.success) {
    const issue = signer.error.issues[0];
    throw new DwellmarkError('input', `signer '${person.id}': ${issue?.path.join('.')} ${issue?.message}`);
  }
  refuseWeak(person.passphrase, signer.data);
  makePrivateFolder(person.dir);
  try {
    writeNewPrivateFile(path, sealedPersonText(signer.data, privateKey, person.passphrase));
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code !== 'EEXIST') throw cause;
    throw taken(person.id, path, cause);
  }
  return { signer: signer.data, failuresBefore: 0, sign: (bytes) => sign(null, bytes, privateKey) };
}

/**
 * Opens a person's key. A try counts as failed before it is checked, so that stopping the program in between
 * gains nothing; a right passphrase clears the count.
 *
 * Throws `UnlockRefused` for a wrong passphrase and during a lock-out (`now` decides): write its line into the ledger.
 */
export function unlockSigner(dir: string, id: string, passphrase: string, now: Date = new Date()): UnlockedSigner {
  const { person, key, failuresBefore } = openCounted(dir, id, passphrase, now);
  return { signer: person.signer, failuresBefore, sign: (bytes) => sign(null, bytes, key) };
}

/** Seals the same key under another passphrase. Throws like `unlockSigner`, and `input` for a weak new one. */
export function changePassphrase(
  dir: string,
  id: string,
  passphrases: { readonly old: string; readonly new: string },
  now: Date = new Date(),
): void {
  refuseWeak(passphrases.new, readPerson(dir, id).signer);
  const { person, key } = openCounted(dir, id, passphrases.old, now);
  writePrivateFile(personPath(dir, id), sealedPersonText(person.signer, key, passphrases.new));
}

function openCounted(
  dir: string,
  id: string,
  passphrase: string,
  now: Date,
): { person: Person; key: KeyObject; failuresBefore: number } {
  const person = readPerson(dir, id);
  const before = readAttempts(dir, id);
  const until = lockedUntil(before, now);
  if (until !== null) throw new UnlockRefused(id, 'locked', before.failures, until);
  const failed = failedOnceMore(before, now);
  writeAttempts(dir, id, failed);
  const key = openedKey(person, passphrase);
  if (key === null) throw new UnlockRefused(id, 'passphrase', failed.failures, lockedUntil(failed, now));
  forgetAttempts(dir, id);
  return { person, key, failuresBefore: before.failures };
}

function openedKey(person: Person, passphrase: string): KeyObject | null {
  const key = openKey(person.privateKey, passphrase, ownerText(person.signer));
  if (key === null) return null;
  const itsPublicKey = rawPublicKey(createPublicKey(key)).toString('base64');
  return itsPublicKey === person.signer.publicKey ? key : null;
}

function sealedPersonText(signer: SignerPublic, key: KeyObject, passphrase: string): string {
  const privateKey = sealKey(key, passphrase, ownerText(signer));
  return personText({ format: 'dwellmark person 1', signer, privateKey });
}

function taken(id: string, file: string, cause?: unknown): DwellmarkError {
  return new DwellmarkError('refused', `'${id}' is enrolled already`, {
    place: { file },
    advice: 'Choose another id; a key is never replaced, it is revoked.',
    cause,
  });
}

function refuseWeak(passphrase: string, signer: SignerPublic): void {
  const weakness = passphraseWeakness(passphrase, signer);
  if (weakness !== null) throw new DwellmarkError('input', `this passphrase ${weakness}`);
}
