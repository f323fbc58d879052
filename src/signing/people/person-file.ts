import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { canonicalJson, type Role } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { sealedKeySchema } from './sealed-key.js';

const suffix = '.person.json';

const roles = ['technician', 'qa', 'administrator', 'witness'] as const satisfies readonly Role[];

/** One line, nothing that a terminal or a page would obey, no half of a character. */
export const plainLine = z
  .string()
  .regex(/^[^\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]*$/u, 'must be one line without control characters');

/** Text that is printed beside a signature. */
const printed = plainLine.trim().min(1).max(80);

const personId = z
  .string()
  .regex(
    /^[a-z0-9][a-z0-9._-]{0,39}$/,
    'must be 1 to 40 of a-z, 0-9, dot, dash, underscore, and start with a-z or 0-9',
  );

const publicKeyText = z
  .string()
  .regex(/^[A-Za-z0-9+/]{43}=$/, 'must be 32 bytes in base64')
  .refine((text) => Buffer.from(text, 'base64').toString('base64') === text, 'must be plain base64');

export const signerSchema = z.strictObject({
  /** Short name a person signs in with, and the name of the key file. */
  id: personId,
  name: printed,
  role: z.enum(roles),
  organisation: printed,
  /** Ed25519, 32 bytes, base64. */
  publicKey: publicKeyText,
});

/** What everyone may know of a signer. */
export type SignerPublic = Readonly<z.infer<typeof signerSchema>>;

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
 * `createSigner` wrote.
 */
export function readPerson(dir: string, id: string): Person {
  const file = personPath(dir, id);
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch (cause) {
    const { code } = cause as NodeJS.ErrnoException;
    if (code !== 'ENOENT')
      throw new DwellmarkError('input', `this can't be read (${code})`, { place: { file }, cause });
    throw new DwellmarkError('refused', `nobody with the id '${id}' is enrolled`, { place: { file }, cause });
  }
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
