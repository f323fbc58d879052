import { createHash } from 'node:crypto';
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { canonicalJson, fileLimits, readGivenText } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { personId, type SignerPublic, signerSchema } from '../signer-form.js';
import { sealedKeySchema } from './sealed-key.js';

const suffix = '.person.json';

const personSchema = z.strictObject({
  format: z.literal('dwellmark person 1'),
  signer: signerSchema,
  privateKey: sealedKeySchema,
});

export type Person = z.infer<typeof personSchema>;

export function personPath(dir: string, id: string): string {
  if (!personId.safeParse(id).success) {
    throw new DwellmarkError('input', `'${printable(id)}' can't be a signer's id`, {
      advice: 'Use 1 to 40 of a-z, 0-9, dot, dash and underscore.',
    });
  }
  return join(dir, `${id}${suffix}`);
}

/** Who is enrolled in this folder, sorted by id. A missing folder has nobody. */
export function listSigners(dir: string): SignerPublic[] {
  let names: string[];
  try {
    names = readdirSync(dir);
  } catch {
    return [];
  }
  const ids = names.filter((name) => name.endsWith(suffix) && !name.startsWith('.'));
  return ids.sort().map((name) => readPerson(dir, name.slice(0, -suffix.length)).signer);
}

/**
 * Throws `refused` for an unknown person, `input` for a file that can't be read, `altered` for one that isn't what
 * `makeSigner` wrote.
 */
export function readPerson(dir: string, id: string): Person {
  const file = personPath(dir, id);
  if (!existsSync(file))
    throw new DwellmarkError('refused', `nobody with the id '${id}' is enrolled`, { place: { file } });
  const text = readGivenText(file, { what: 'key file', most: fileLimits.text });
  const person = personSchema.safeParse(parsed(text));
  if (!person.success || person.data.signer.id !== id) {
    const issue = person.error?.issues[0];
    throw new DwellmarkError('altered', `not a key file of '${id}': ${issue?.message ?? 'it names another person'}`, {
      place: { file, key: issue?.path.join('.') ?? 'signer.id' },
      advice: 'Restore it from a backup, or revoke this key and enrol the person again.',
      ...(person.error ? { cause: person.error } : {}),
    });
  }
  return person.data;
}

export function personText(person: Person): string {
  return `${JSON.stringify(person, null, 2)}\n`;
}

/** The owner's data in the form that is authenticated together with the private key. */
export function ownerText(signer: SignerPublic): string {
  return canonicalJson(signer);
}

/**
 * First 16 hex digits of the SHA-256 of the raw public key, in fours: short enough to read out on the telephone.
 *
 * @example
 * keyFingerprint('PUAXw+hDiVqStwqnTRt+vJyYLM8uxJaMwM1V8Sr0Zgw='); // '39f7 13d0 a644 253f'
 */
export function keyFingerprint(publicKey: string): string {
  const digits = createHash('sha256').update(Buffer.from(publicKey, 'base64')).digest('hex').slice(0, 16);
  return digits.replace(/(.{4})(?=.)/g, '$1 ');
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function printable(text: string): string {
  return text.replace(/[^\x20-\x7e]/g, '?').slice(0, 40);
}
