import { createHash } from 'node:crypto';
import { DwellmarkError } from '../../units/index.js';
import { signedCms } from './cms.js';
import { openPdf } from './file.js';
import type { ShopIdentity } from './shop-identity.js';
import { reservedOffset } from './signature-field.js';
import { isUnsigned, type SignatureSlot, signatureSlot } from './signature-slot.js';

/**
 * Fills the field that `reserveSignature` left: byte range over the whole file but the signature, then the
 * signature. No other byte moves or changes.
 *
 * Throws `refused` for a PDF without the field, one that is signed already, and a date outside the certificate's
 * validity.
 */
export async function signPdf(pdf: Buffer, identity: ShopIdentity): Promise<Buffer> {
  const slot = signatureSlot(openPdf(pdf));
  if (slot === null) throw new DwellmarkError('refused', 'this PDF has no signature field');
  if (!isUnsigned(slot)) throw new DwellmarkError('refused', 'this PDF is signed already');
  refuseOutOfDate(slot, identity);
  const signed = Buffer.from(pdf);
  const { start, end } = slot.contents;
  writeByteRange(signed, slot, [0, start, end, pdf.length - end]);
  const digest = createHash('sha256').update(signed.subarray(0, start)).update(signed.subarray(end)).digest();
  const hex = (await signedCms(digest, identity)).toString('hex');
  const room = end - start - 2;
  if (hex.length > room) throw new Error(`a signature of ${hex.length / 2} bytes does not fit into ${room / 2}`);
  signed.write(hex, start + 1, 'latin1');
  return signed;
}

/**
 * The signed PDF as it was before it was signed: an auditor renders the record again and compares it with this, byte
 * for byte. A PDF without a signature comes back as it is.
 */
export function withoutSignature(pdf: Buffer): Buffer {
  const slot = signatureSlot(openPdf(pdf));
  if (slot === null) return pdf;
  const bare = Buffer.from(pdf);
  writeByteRange(bare, slot, [0, reservedOffset, reservedOffset, reservedOffset]);
  return bare.fill('0', slot.contents.start + 1, slot.contents.end - 1, 'latin1');
}

/** Into the width that is there; a list of numbers may be followed by blanks. */
function writeByteRange(pdf: Buffer, { byteRangeAt }: SignatureSlot, range: readonly number[]): void {
  const width = byteRangeAt.end - byteRangeAt.start;
  const text = `[${range.join(' ').padEnd(width - 2)}]`;
  if (text.length !== width) throw new Error(`a byte range of ${text.length} characters does not fit into ${width}`);
  pdf.write(text, byteRangeAt.start, 'latin1');
}

function refuseOutOfDate({ date }: SignatureSlot, { leaf }: ShopIdentity): void {
  const at = date?.getTime() ?? Number.NaN;
  if (at >= Date.parse(leaf.validFrom) && at <= Date.parse(leaf.validTo)) return;
  const given = date === null ? 'a date that can not be read' : date.toISOString();
  throw new DwellmarkError(
    'refused',
    `this PDF is dated ${given}, and the shop's certificate is valid`.concat(
      ` from ${leaf.validFrom} to ${leaf.validTo}`,
    ),
    { advice: 'Renew the certificate of the shop, or correct the clock.' },
  );
}
