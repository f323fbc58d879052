import { createHash, type KeyObject, sign, type X509Certificate } from 'node:crypto';
import { type Asn1, exactBytes, loadPki, type Pki } from './pki.js';

const oid = {
  data: '1.2.840.113549.1.7.1',
  signedData: '1.2.840.113549.1.7.2',
  contentType: '1.2.840.113549.1.9.3',
  messageDigest: '1.2.840.113549.1.9.4',
  signingCertificateV2: '1.2.840.113549.1.9.16.2.47',
  sha256: '2.16.840.1.101.3.4.2.1',
  ecdsaWithSha256: '1.2.840.10045.4.3.2',
} as const;

/** What a detached signature is made of; the rest of its bytes follows. */
export interface CmsParts {
  /** SHA-256 of the signed bytes. */
  readonly digest: Buffer;
  /** Certificate of the signing key, DER. */
  readonly leaf: Buffer;
  /** Certificate that certified it, DER. */
  readonly root: Buffer;
  /** ECDSA P-256 over the attributes, DER. */
  readonly signature: Buffer;
}

/** Signs a digest: CMS SignedData (RFC 5652), detached, with the attributes that EN 319 142-1 asks of a PDF. */
export async function signedCms(
  digest: Buffer,
  identity: { readonly leaf: X509Certificate; readonly root: X509Certificate; readonly key: KeyObject },
): Promise<Buffer> {
  const certificates = { leaf: identity.leaf.raw, root: identity.root.raw };
  const attributes = await signedAttributes({ digest, leaf: certificates.leaf });
  const signature = sign('sha256', attributes, { key: identity.key, dsaEncoding: 'der' });
  return assembleCms({ digest, ...certificates, signature });
}

/**
 * The attributes under the signature, as the SET that is hashed: content type, message digest, and the hash of the
 * signing certificate (RFC 5035). The time is not among them: ETSI.CAdES.detached has it in the PDF's dictionary.
 */
export async function signedAttributes(parts: Pick<CmsParts, 'digest' | 'leaf'>): Promise<Buffer> {
  const { pki, asn1 } = await loadPki();
  const encoded = attributesOf(pki, asn1, parts).map((attribute) => attribute.toSchema());
  return Buffer.from(new asn1.Set({ value: encoded }).toBER());
}

/** The one form in which this program writes a signature: the same parts give the same bytes. */
async function assembleCms(parts: CmsParts): Promise<Buffer> {
  const { pki, asn1 } = await loadPki();
  const [leaf, root] = [certificateOf(pki, parts.leaf), certificateOf(pki, parts.root)];
  const sha256 = new pki.AlgorithmIdentifier({ algorithmId: oid.sha256 });
  const signer = new pki.SignerInfo({
    version: 1,
    sid: new pki.IssuerAndSerialNumber({ issuer: leaf.issuer, serialNumber: leaf.serialNumber }),
    digestAlgorithm: sha256,
    signedAttrs: new pki.SignedAndUnsignedAttributes({ type: 0, attributes: attributesOf(pki, asn1, parts) }),
    signatureAlgorithm: new pki.AlgorithmIdentifier({ algorithmId: oid.ecdsaWithSha256 }),
    signature: new asn1.OctetString({ valueHex: exactBytes(parts.signature) }),
  });
  const signedData = new pki.SignedData({
    version: 1,
    digestAlgorithms: [sha256],
    encapContentInfo: new pki.EncapsulatedContentInfo({ eContentType: oid.data }),
    certificates: [leaf, root],
    signerInfos: [signer],
  });
  const content = new pki.ContentInfo({ contentType: oid.signedData, content: signedData.toSchema(true) });
  return Buffer.from(content.toSchema().toBER());
}

let lastRead: readonly { readonly der: Buffer; readonly certificate: InstanceType<Pki['Certificate']> }[] = [];

/** The two certificates of a shop are those of the paper before, as a rule, and need not be read again. */
function certificateOf(pki: Pki, der: Buffer): InstanceType<Pki['Certificate']> {
  const known = lastRead.find((one) => one.der.equals(der));
  if (known !== undefined) return known.certificate;
  const certificate = pki.Certificate.fromBER(exactBytes(der));
  lastRead = [{ der, certificate }, ...lastRead.slice(0, 1)];
  return certificate;
}

/** The parts of a signature that has this program's form, or null for anything else. Checks no arithmetic. */
export async function readCms(der: Buffer): Promise<CmsParts | null> {
  try {
    const parts = await partsOf(der);
    return parts !== null && der.equals(await assembleCms(parts)) ? parts : null;
  } catch {
    return null;
  }
}

async function partsOf(der: Buffer): Promise<CmsParts | null> {
  const { pki, asn1 } = await loadPki();
  const content = pki.ContentInfo.fromBER(exactBytes(der));
  const { certificates = [], signerInfos } = new pki.SignedData({ schema: content.content });
  const [leaf, root] = certificates.map((certificate) => Buffer.from(certificate.toSchema().toBER()));
  const [signer] = signerInfos;
  const digest = signer?.signedAttrs?.attributes.find(({ type }) => type === oid.messageDigest)?.values[0];
  if (leaf === undefined || root === undefined || signer === undefined || !(digest instanceof asn1.OctetString)) {
    return null;
  }
  return {
    digest: Buffer.from(digest.valueBlock.valueHexView),
    leaf,
    root,
    signature: Buffer.from(signer.signature.valueBlock.valueHexView),
  };
}

/** In the order of their encodings, as DER wants a SET: all three have a fixed length, and it rises. */
function attributesOf(pki: Pki, asn1: Asn1, { digest, leaf }: Pick<CmsParts, 'digest' | 'leaf'>) {
  const certificateHash = createHash('sha256').update(leaf).digest();
  const certificateId = new asn1.Sequence({
    value: [new asn1.OctetString({ valueHex: exactBytes(certificateHash) })],
  });
  const signingCertificate = new asn1.Sequence({ value: [new asn1.Sequence({ value: [certificateId] })] });
  return [
    new pki.Attribute({ type: oid.contentType, values: [new asn1.ObjectIdentifier({ value: oid.data })] }),
    new pki.Attribute({
      type: oid.messageDigest,
      values: [new asn1.OctetString({ valueHex: exactBytes(digest) })],
    }),
    new pki.Attribute({ type: oid.signingCertificateV2, values: [signingCertificate] }),
  ];
}
