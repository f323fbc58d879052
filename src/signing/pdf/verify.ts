import { createHash, verify, X509Certificate } from 'node:crypto';
import { DwellmarkError } from '../../units/index.js';
import { type CmsParts, readCms, signedAttributes } from './cms.js';
import { openPdf } from './file.js';
import { isUnsigned, type SignatureSlot, signatureSlot } from './signature-slot.js';

/** What a PDF's signature shows, and what speaks against it. */
export interface PdfSignatureReport {
  readonly present: boolean;
  /** The signed bytes are all bytes of the file but the signature itself: nothing was appended, nothing left out. */
  readonly coversWholeFile: boolean;
  readonly digestOk: boolean;
  /** The signature fits the certificate in it, and is written in the one form that this program writes. */
  readonly signatureOk: boolean;
  /** All of the above, by a certificate of the root given, valid at the stated time; null when no root was given. */
  readonly trusted: boolean | null;
  /** Name in the certificate. Whose name that is, only a trusted root can say. */
  readonly signer: string | null;
  /** The time that the signer states; ISO 8601, UTC. */
  readonly signedAt: string | null;
  /** The root that came with the PDF, PEM: compare its fingerprint with what the shop says. */
  readonly rootPem: string | null;
  /** One sentence each; empty when all of the above is in order. */
  readonly problems: readonly string[];
}

export interface PdfVerification {
  /** The shop's root as `exportRootPem` gave it. */
  readonly trustedRootPem?: string;
}

const absent: PdfSignatureReport = {
  present: false,
  coversWholeFile: false,
  digestOk: false,
  signatureOk: false,
  trusted: null,
  signer: null,
  signedAt: null,
  rootPem: null,
  problems: [],
};

/**
 * Checks the signature of a PDF. Demands one signature over the whole file; whatever was appended, even in the way
 * that PDF allows, is a problem. Never throws for a broken file: the problem says what is broken.
 *
 * Throws `input` only when `trustedRootPem` is no certificate.
 */
export async function verifyPdfSignature(pdf: Buffer, options: PdfVerification = {}): Promise<PdfSignatureReport> {
  const trustedRoot = options.trustedRootPem === undefined ? null : rootOf(options.trustedRootPem);
  const trusted = trustedRoot && false;
  try {
    const slot = signatureSlot(openPdf(pdf));
    if (slot === null) return { ...absent, trusted, problems: ['this PDF has no signature'] };
    if (isUnsigned(slot))
      return { ...absent, trusted, problems: ['this PDF has a signature field that was never signed'] };
    return await judged(pdf, slot, trustedRoot);
  } catch (error) {
    if (!(error instanceof DwellmarkError)) throw error;
    return { ...absent, trusted, problems: [error.message] };
  }
}

async function judged(
  pdf: Buffer,
  slot: SignatureSlot,
  trustedRoot: X509Certificate | null,
): Promise<PdfSignatureReport> {
  const problems: string[] = [];
  const holds = (fact: boolean, problem: string): boolean => {
    if (!fact) problems.push(problem);
    return fact;
  };
  const coversWholeFile = holds(
    covers(pdf, slot),
    'the signature does not cover the whole file: parts of it are not signed',
  );
  const cms = slot.subFilter === 'ETSI.CAdES.detached' ? await readCms(derIn(slot)) : null;
  if (cms === null) {
    problems.push('the signature is not in the form in which it is written here');
    const trusted = trustedRoot && false;
    return { ...absent, present: true, coversWholeFile, trusted, signedAt: stated(slot), problems };
  }
  const digestOk = holds(digestOf(pdf, slot).equals(cms.digest), 'the file was altered after it was signed');
  const chain = chainOf(cms);
  const signatureOk = holds(
    chain !== null && isPadded(pdf, slot) && (await signatureFits(cms, chain.leaf)),
    'the signature does not fit its certificate',
  );
  const why = chain === null ? 'its certificates can not be read' : chainFault(chain, slot.date);
  if (why !== null) problems.push(why);
  const strange = 'the certificate was not issued under the root that is trusted here';
  if (trustedRoot !== null) holds(chain?.root.raw.equals(trustedRoot.raw) === true, strange);
  const trusted = trustedRoot && problems.length === 0;
  const signer = chain === null ? null : commonName(chain.leaf);
  const rootPem = chain?.root.toString() ?? null;
  return {
    present: true,
    coversWholeFile,
    digestOk,
    signatureOk,
    trusted,
    signer,
    signedAt: stated(slot),
    rootPem,
    problems,
  };
}

/** From the first byte to the hole, from the hole to the last byte, and the hole is the hex string and nothing more. */
function covers(pdf: Buffer, { byteRange: [o1, l1, o2, l2], contents }: SignatureSlot): boolean {
  return o1 === 0 && l1 === contents.start && o2 === contents.end && o2 + l2 === pdf.length;
}

function digestOf(pdf: Buffer, { byteRange: [o1, l1, o2, l2] }: SignatureSlot): Buffer {
  const hash = createHash('sha256');
  return hash
    .update(pdf.subarray(o1, o1 + l1))
    .update(pdf.subarray(o2, o2 + l2))
    .digest();
}

/** The DER value at the start of the room; its own length says where it ends (long form of two bytes: 256 and more). */
function derIn({ contents: { bytes } }: SignatureSlot): Buffer {
  const isLongForm = bytes[0] === 0x30 && bytes[1] === 0x82;
  return isLongForm ? bytes.subarray(0, 4 + bytes.readUInt16BE(2)) : bytes.subarray(0, 0);
}

/** The hole is the signature in lower-case hex and zeros: no byte of it could be another without being noticed. */
function isPadded(pdf: Buffer, slot: SignatureSlot): boolean {
  const { start, end } = slot.contents;
  const expected = derIn(slot)
    .toString('hex')
    .padEnd(end - start - 2, '0');
  return pdf.toString('latin1', start, end) === `<${expected}>`;
}

async function signatureFits(cms: CmsParts, leaf: X509Certificate): Promise<boolean> {
  const key = leaf.publicKey;
  const isP256 = key.asymmetricKeyType === 'ec' && key.asymmetricKeyDetails?.namedCurve === 'prime256v1';
  return isP256 && verify('sha256', await signedAttributes(cms), { key, dsaEncoding: 'der' }, cms.signature);
}

interface Chain {
  readonly leaf: X509Certificate;
  readonly root: X509Certificate;
}

function chainOf({ leaf, root }: CmsParts): Chain | null {
  try {
    return { leaf: new X509Certificate(leaf), root: new X509Certificate(root) };
  } catch {
    return null;
  }
}

function chainFault({ leaf, root }: Chain, signedAt: Date | null): string | null {
  const isRoot = root.ca && root.checkIssued(root) && root.verify(root.publicKey);
  if (!isRoot) return 'the root that came with the signature is none';
  if (leaf.ca || !leaf.checkIssued(root) || !leaf.verify(root.publicKey)) {
    return 'the certificate was not issued by the root beside it';
  }
  if (signedAt === null) return 'the signature states no time';
  const wasValid = [leaf, root].every(
    ({ validFrom, validTo }) => signedAt >= new Date(validFrom) && signedAt <= new Date(validTo),
  );
  return wasValid ? null : 'the certificate was not valid at the stated time';
}

function rootOf(pem: string): X509Certificate {
  try {
    return new X509Certificate(pem);
  } catch (cause) {
    throw new DwellmarkError('input', 'the root given is no certificate in PEM form', { cause });
  }
}

/** `CN=` of a subject; each attribute stands on a line of its own, special characters behind a backslash. */
function commonName({ subject }: X509Certificate): string {
  const line = subject.split('\n').find((part) => part.startsWith('CN='));
  return (line ?? subject).slice('CN='.length).replace(/\\(.)/g, '$1');
}

function stated({ date }: SignatureSlot): string | null {
  return date?.toISOString() ?? null;
}
