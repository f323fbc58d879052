import { type KeyObject, randomBytes, webcrypto } from 'node:crypto';
import { type Asn1, exactBytes, loadPki, type Pki } from './pki.js';

/** A certificate (DER) with its private key. */
export interface CertifiedKey {
  readonly certificate: Buffer;
  /** ECDSA P-256, PKCS#8 DER. */
  readonly privateKey: Buffer;
}

export interface CertificateWish {
  readonly commonName: string;
  readonly organisation: string;
  readonly notBefore: Date;
  readonly years: number;
}

type Issuer = { readonly certificate: Buffer; readonly privateKey: KeyObject } | null;

const curve = { name: 'ECDSA', namedCurve: 'P-256' } as const;
const oid = {
  commonName: '2.5.4.3',
  organisation: '2.5.4.10',
  subjectKeyIdentifier: '2.5.29.14',
  keyUsage: '2.5.29.15',
  basicConstraints: '2.5.29.19',
  authorityKeyIdentifier: '2.5.29.35',
  extendedKeyUsage: '2.5.29.37',
  emailProtection: '1.3.6.1.5.5.7.3.4',
  /** RFC 9336. */
  documentSigning: '1.3.6.1.5.5.7.3.36',
} as const;
/** First octet of the KeyUsage bit string (RFC 5280, 4.2.1.3), and how many of its bits are unused. */
const certifies = { octet: 0b0000_0110, unused: 1 };
const signsDocuments = { octet: 0b1100_0000, unused: 6 };
/** Upper bound of a common name and an organisation (RFC 5280, appendix A.1). */
const longestName = 64;

/** A self-signed root: it certifies signing keys and nothing below them. */
export function makeRoot(wish: CertificateWish): Promise<CertifiedKey> {
  return certify(wish, null);
}

/** A certificate for signing documents. E-mail protection is what most readers ask of such a key, so it has both uses. */
export function makeLeaf(wish: CertificateWish, issuer: NonNullable<Issuer>): Promise<CertifiedKey> {
  return certify(wish, issuer);
}

async function certify(wish: CertificateWish, issuer: Issuer): Promise<CertifiedKey> {
  const { pki, asn1 } = await loadPki();
  const engine = new pki.CryptoEngine({ name: 'node', crypto: webcrypto as never });
  const keys = await webcrypto.subtle.generateKey(curve, true, ['sign', 'verify']);
  const certificate = new pki.Certificate();
  certificate.version = 2;
  certificate.serialNumber = new asn1.Integer({ valueHex: exactBytes(serialNumber()) });
  certificate.subject = distinguishedName(pki, asn1, wish);
  certificate.notBefore = timeOf(pki, wish.notBefore);
  certificate.notAfter = timeOf(pki, yearsAfter(wish.notBefore, wish.years));
  await certificate.subjectPublicKeyInfo.importKey(keys.publicKey as never, engine);
  const issuing = issuer === null ? certificate : pki.Certificate.fromBER(exactBytes(issuer.certificate));
  certificate.issuer = issuing.subject;
  certificate.extensions = [
    ...(issuer === null ? rootUses(pki, asn1) : leafUses(pki, asn1)),
    ...(await keyIdentifiers(pki, asn1, certificate, issuing)),
  ];
  const signingKey = issuer === null ? keys.privateKey : await imported(issuer.privateKey);
  await certificate.sign(signingKey as never, 'SHA-256', engine);
  return {
    certificate: Buffer.from(certificate.toSchema().toBER()),
    privateKey: Buffer.from(await webcrypto.subtle.exportKey('pkcs8', keys.privateKey)),
  };
}

/** One attribute a level, as every reader expects it: the package alone would put both into one level. */
function distinguishedName(pki: Pki, asn1: Asn1, { commonName, organisation }: CertificateWish) {
  const level = (type: string, text: string) => {
    const value = new asn1.Utf8String({ value: shortened(text) });
    return new asn1.Set({ value: [new pki.AttributeTypeAndValue({ type, value }).toSchema()] });
  };
  const levels = [level(oid.organisation, organisation), level(oid.commonName, commonName)];
  return pki.RelativeDistinguishedNames.fromBER(new asn1.Sequence({ value: levels }).toBER());
}

function rootUses(pki: Pki, asn1: Asn1) {
  const constraints = new pki.BasicConstraints({ cA: true, pathLenConstraint: 0 });
  return [
    extension(pki, oid.basicConstraints, true, constraints.toSchema().toBER()),
    extension(pki, oid.keyUsage, true, keyUsage(asn1, certifies)),
  ];
}

function leafUses(pki: Pki, asn1: Asn1) {
  const uses = new pki.ExtKeyUsage({ keyPurposes: [oid.emailProtection, oid.documentSigning] });
  return [
    extension(pki, oid.basicConstraints, true, new pki.BasicConstraints({ cA: false }).toSchema().toBER()),
    extension(pki, oid.keyUsage, true, keyUsage(asn1, signsDocuments)),
    extension(pki, oid.extendedKeyUsage, false, uses.toSchema().toBER()),
  ];
}

async function keyIdentifiers(
  pki: Pki,
  asn1: Asn1,
  own: InstanceType<Pki['Certificate']>,
  issuing: InstanceType<Pki['Certificate']>,
) {
  const ownId = new asn1.OctetString({ valueHex: await keyIdentifier(own) });
  const issuingId = new pki.AuthorityKeyIdentifier({
    keyIdentifier: new asn1.OctetString({ valueHex: await keyIdentifier(issuing) }),
  });
  return [
    extension(pki, oid.subjectKeyIdentifier, false, ownId.toBER()),
    extension(pki, oid.authorityKeyIdentifier, false, issuingId.toSchema().toBER()),
  ];
}

/** SHA-1 of the public key's bits: method 1 of RFC 5280, 4.2.1.2. An identifier, no safeguard. */
function keyIdentifier(certificate: InstanceType<Pki['Certificate']>): Promise<ArrayBuffer> {
  const bits = certificate.subjectPublicKeyInfo.subjectPublicKey.valueBlock.valueHexView;
  return webcrypto.subtle.digest('SHA-1', bits);
}

function extension(pki: Pki, extnID: string, critical: boolean, extnValue: ArrayBuffer) {
  return new pki.Extension({ extnID, critical, extnValue });
}

function keyUsage(asn1: Asn1, { octet, unused }: { octet: number; unused: number }): ArrayBuffer {
  return new asn1.BitString({ valueHex: exactBytes(Buffer.from([octet])), unusedBits: unused }).toBER();
}

function imported(key: KeyObject): Promise<webcrypto.CryptoKey> {
  const der = key.export({ format: 'der', type: 'pkcs8' });
  return webcrypto.subtle.importKey('pkcs8', der, curve, false, ['sign']);
}

/** 127 random bits that are positive and of full length in DER. */
function serialNumber(): Buffer {
  const serial = randomBytes(16);
  serial[0] = ((serial[0] ?? 0) & 0x3f) | 0x40;
  return serial;
}

/** UTCTime to 2049, GeneralizedTime after (RFC 5280, 4.1.2.5). */
function timeOf(pki: Pki, value: Date) {
  return new pki.Time({ type: value.getUTCFullYear() < 2050 ? 0 : 1, value });
}

function yearsAfter(date: Date, years: number): Date {
  const later = new Date(date);
  later.setUTCFullYear(later.getUTCFullYear() + years);
  return later;
}

function shortened(text: string): string {
  return [...text].slice(0, longestName).join('');
}
