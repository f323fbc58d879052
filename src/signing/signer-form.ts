import * as z from 'zod';
import { base64Bytes, type Role } from '../record/index.js';

const roles = ['technician', 'qa', 'administrator', 'witness'] as const satisfies readonly Role[];

/** One line, nothing that a terminal or a page would obey, no half of a character. */
export const plainLine = /* @__PURE__ */ z
  .string()
  .regex(/^[^\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]*$/u, 'must be one line without control characters');

/** Text that is printed beside a signature. */
const printed = /* @__PURE__ */ plainLine.trim().min(1).max(80);

export const personId = /* @__PURE__ */ z
  .string()
  .regex(
    /^[a-z0-9][a-z0-9._-]{0,39}$/,
    'must be 1 to 40 of a-z, 0-9, dot, dash, underscore, and start with a-z or 0-9',
  );

const publicKeyText = /* @__PURE__ */ z
  .string()
  .regex(/^[A-Za-z0-9+/]{43}=$/, 'must be 32 bytes in base64')
  .refine((text) => base64Bytes(text) !== null, 'must be plain base64');

export const signerSchema = /* @__PURE__ */ z.strictObject({
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
