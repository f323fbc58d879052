/** Bytes as text and back, alike under Node and in a browser. */

/** A text as UTF-8. */
export const textBytes = (text: string): Uint8Array => new TextEncoder().encode(text);

/** UTF-8 as text; bytes that are none become U+FFFD. */
export const bytesText = (bytes: Uint8Array): string => new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);

/** @example hexOf(Uint8Array.of(1, 255)) // '01ff' */
export const hexOf = (bytes: Uint8Array): string =>
  Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');

/** The bytes of a hex text; as far as it is hex. */
export function hexBytes(hex: string): Uint8Array {
  const pairs = /^(?:[0-9a-f]{2})*/i.exec(hex)?.[0].match(/../g) ?? [];
  return Uint8Array.from(pairs, (pair) => Number.parseInt(pair, 16));
}

const signs = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
const noSign = 255;
const valueOfSign = /* @__PURE__ */ (() => {
  const values = new Uint8Array(128).fill(noSign);
  for (let value = 0; value < 64; value += 1) values[signs.charCodeAt(value)] = value;
  return values;
})();

/**
 * The bytes of a base64 text (RFC 4648, padded); null for any other text, so that two texts never stand for the same
 * bytes.
 */
export function base64Bytes(text: string): Uint8Array | null {
  if (text.length % 4 !== 0) return null;
  const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0;
  const bytes = new Uint8Array((text.length / 4) * 3 - padding);
  let at = 0;
  let bits = 0;
  for (let index = 0; index < text.length; index += 4) {
    const padded = index + 4 === text.length ? padding : 0;
    bits = 0;
    for (let sign = 0; sign < 4; sign += 1) {
      const code = text.charCodeAt(index + sign);
      const value = sign >= 4 - padded ? 0 : code < 128 ? (valueOfSign[code] as number) : noSign;
      if (value === noSign) return null;
      bits = (bits << 6) | value;
    }
    if ((padded === 1 && bits & 0xff) || (padded === 2 && bits & 0xffff)) return null;
    bytes[at++] = bits >> 16;
    if (padded < 2) bytes[at++] = bits >> 8;
    if (padded < 1) bytes[at++] = bits;
  }
  return bytes;
}

export const sameBytes = (one: Uint8Array, other: Uint8Array): boolean =>
  one.length === other.length && one.every((byte, index) => byte === other[index]);
