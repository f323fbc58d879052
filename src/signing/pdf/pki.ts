export type Pki = typeof import('pkijs');
export type Asn1 = typeof import('asn1js');

let loaded: Promise<{ readonly pki: Pki; readonly asn1: Asn1 }> | undefined;

/** The certificate packages are large: only making or checking a PDF signature loads them, once. */
export function loadPki(): Promise<{ readonly pki: Pki; readonly asn1: Asn1 }> {
  loaded ??= Promise.all([import('pkijs'), import('asn1js')]).then(([pki, asn1]) => ({ pki, asn1 }));
  return loaded;
}

/** An ArrayBuffer with these bytes and no others: a Buffer may look into a larger one. */
export function exactBytes(bytes: Uint8Array): ArrayBuffer {
  return Uint8Array.from(bytes).buffer;
}
