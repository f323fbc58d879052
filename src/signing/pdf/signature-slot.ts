import { dictionaryIn, type PdfFile, pdfText } from './file.js';
import { reservedOffset } from './signature-field.js';
import { type PdfDictionary, type PdfString, type PdfValue, pdfFault } from './syntax.js';

/** The one signature of a PDF as the file holds it. */
export interface SignatureSlot {
  /** Offset and length of the two signed parts, in the order of the file: [o1, l1, o2, l2]. */
  readonly byteRange: readonly [number, number, number, number];
  /** Where the byte range is written, brackets included. */
  readonly byteRangeAt: { readonly start: number; readonly end: number };
  /** The signature's hex string, angle brackets included in its span. */
  readonly contents: PdfString;
  readonly subFilter: string;
  /** What the signature dictionary says about the signer; signed, because it lies outside the hole. */
  readonly name: string;
  readonly reason: string;
  readonly date: Date | null;
}

/** The signature that the form of a PDF refers to, null when there is none. Throws `altered` for several. */
export function signatureSlot(pdf: PdfFile): SignatureSlot | null {
  const form = dictionaryIn(pdf, pdf.catalogue, 'AcroForm');
  const fields = form && pdf.resolve(form.entries.get('Fields'));
  if (fields?.kind !== 'array') return null;
  const signatures = fields.items.map((item) => signatureOf(pdf, item)).filter((found) => found !== undefined);
  if (signatures.length > 1) throw pdfFault(`it has ${signatures.length} signatures where one belongs`, fields.start);
  const [signature] = signatures;
  return signature === undefined ? null : slotOf(pdf, signature);
}

/** Whether the field stands as `reserveSignature` left it. */
export function isUnsigned({ byteRange, contents }: SignatureSlot): boolean {
  return byteRange.slice(1).every((value) => value === reservedOffset) && contents.bytes.every((byte) => byte === 0);
}

function signatureOf(pdf: PdfFile, item: PdfValue): PdfDictionary | undefined {
  const field = pdf.resolve(item);
  if (field?.kind !== 'dictionary') throw pdfFault('a form field is broken', item.start);
  const type = field.entries.get('FT');
  if (type?.kind !== 'name' || type.value !== 'Sig') return undefined;
  return dictionaryIn(pdf, field, 'V');
}

function slotOf(pdf: PdfFile, signature: PdfDictionary): SignatureSlot {
  const range = signature.entries.get('ByteRange');
  const contents = signature.entries.get('Contents');
  const subFilter = signature.entries.get('SubFilter');
  const numbers =
    range?.kind === 'array' ? range.items.flatMap((item) => (item.kind === 'number' ? [item.value] : [])) : [];
  const [o1, l1, o2, l2] = numbers;
  const isComplete = o1 !== undefined && l1 !== undefined && o2 !== undefined && l2 !== undefined;
  if (range === undefined || !isComplete || numbers.length !== 4) {
    throw pdfFault('its signature has no byte range of four numbers', signature.start);
  }
  if (contents?.kind !== 'string' || !contents.hex) throw pdfFault('its signature has no contents', signature.start);
  return {
    byteRange: [o1, l1, o2, l2],
    byteRangeAt: { start: range.start, end: range.end },
    contents,
    subFilter: subFilter?.kind === 'name' ? subFilter.value : '',
    name: textOf(pdf, signature, 'Name'),
    reason: textOf(pdf, signature, 'Reason'),
    date: dateOf(textOf(pdf, signature, 'M')),
  };
}

function textOf(pdf: PdfFile, dictionary: PdfDictionary, key: string): string {
  const value = pdf.resolve(dictionary.entries.get(key));
  return value?.kind === 'string' ? pdfText(value) : '';
}

/** A PDF date in UTC, `D:20260302101500Z`, as `reserveSignature` writes it. */
function dateOf(text: string): Date | null {
  const parts = /^D:(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)Z$/.exec(text);
  if (!parts) return null;
  const [, year, month, day, hour, minute, second] = parts;
  const date = new Date(`${year}-${month}-${day}T${hour}:${minute}:${second}Z`);
  return Number.isNaN(date.getTime()) ? null : date;
}
