import { hash } from 'node:crypto';
import canonicalize from 'canonicalize';

/**
 * The one text of a JSON value by RFC 8785: keys sorted by UTF-16, numbers as ECMAScript writes them, no blanks.
 * Properties that are undefined are left out, as JSON does.
 * @throws Error for NaN, an infinity, a lone surrogate or a value that JSON does not know.
 * @example canonicalJson({ b: 1e21, a: '€' }) // '{"a":"€","b":1e+21}'
 */
export function canonicalJson(value: unknown): string {
  const text = canonicalize(value);
  if (text === undefined) throw new Error('this value has no JSON form');
  return text;
}

/** The canonical text as UTF-8 bytes: what is hashed and signed. */
export const canonicalBytes = (value: unknown): Buffer => Buffer.from(canonicalJson(value), 'utf8');

/**
 * SHA-256 in hex; a text is taken as UTF-8.
 * @example sha256Hex('abc') // 'ba7816bf…15ad'
 */
export const sha256Hex = (data: string | Uint8Array): string => hash('sha256', data, 'hex');
