import canonicalizeModule from 'canonicalize';

/** The package is CommonJS and exports the function itself; its types say a module with a default export. */
const canonicalize = canonicalizeModule as unknown as (value: unknown) => string | undefined;

/** RFC 8785: one spelling of a JSON value, the same on every machine. */
export function canonicalJson(value: object): string {
  const text = canonicalize(value);
  if (text === undefined) throw new Error('an object has a JSON form');
  return text;
}
