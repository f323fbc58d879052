import type PDFDocument from 'pdfkit';

/** The part of a pdfkit document that a signature field is written into. */
export type FieldHost = Pick<InstanceType<typeof PDFDocument>, 'ref' | 'initForm' | 'page'>;

/** pdfkit keeps the form dictionary behind its catalogue; there is no public way to it. */
interface Catalogue {
  readonly _root: { readonly data: { readonly AcroForm?: { readonly data: FormDictionary } } };
}

interface FormDictionary extends Record<string, unknown> {
  readonly Fields: unknown[];
}

export interface SignatureFieldOptions {
  /** The shop whose signature it will be. */
  readonly name: string;
  readonly reason: string;
  /** Claimed time of signing: an ETSI.CAdES.detached signature carries it here and not in its own attributes. */
  readonly date: Date;
  /** Room for the signature, in bytes. A root and a leaf with P-256 keys need about 2,000. */
  readonly size?: number;
}

/** Room that is kept for a signature when nothing else is asked for, bytes. */
const signatureRoomBytes = 6144;

/**
 * A number of ten digits: wide enough for any offset that a cross-reference table can hold, and no real offset,
 * so that a document which was reserved and never signed is told from a signed one.
 */
export const reservedOffset = 9_999_999_999;

/** Widget flags of ISO 32000-1 table 165: print (bit 3) and locked (bit 8). */
const printAndLocked = 0b1000_0100;
/** Signature flags of ISO 32000-1 table 219: signatures exist, append only. */
const existAndAppendOnly = 0b11;

/**
 * Adds an invisible signature field to the current page, with zeros where the signature goes and a byte range of
 * fixed width, so that `signPdf` fills both without moving a byte. Call it once, before `doc.end()`, after a font is
 * set (pdfkit wants one for any form).
 *
 * With a fixed `date` the document stays the same byte for byte.
 *
 * @example
 * reserveSignature(doc, { name: 'Harrow Lane Hydraulics', reason: 'Certificate C-2026-0007', date: issuedAt });
 */
export function reserveSignature(doc: FieldHost, options: SignatureFieldOptions): void {
  const form = formOf(doc);
  const signature = doc.ref({
    Type: 'Sig',
    Filter: 'Adobe.PPKLite',
    SubFilter: 'ETSI.CAdES.detached',
    ByteRange: [0, reservedOffset, reservedOffset, reservedOffset],
    Contents: new Uint8Array(options.size ?? signatureRoomBytes),
    Name: pdfText(options.name),
    Reason: pdfText(options.reason),
    M: options.date,
  });
  signature.end(undefined);

  const field = doc.ref({
    Type: 'Annot',
    Subtype: 'Widget',
    FT: 'Sig',
    T: pdfText('Signature'),
    TU: pdfText(`Signature of ${options.name}`),
    F: printAndLocked,
    Rect: [0, 0, 0, 0],
    P: doc.page.dictionary,
    V: signature,
  });
  field.end(undefined);
  doc.page.annotations.push(field);
  form.Fields.push(field);
}

function formOf(doc: FieldHost): FormDictionary {
  const catalogue = (doc as unknown as Catalogue)._root.data;
  if (catalogue.AcroForm === undefined) doc.initForm();
  const form = catalogue.AcroForm?.data;
  if (form === undefined) throw new Error('pdfkit made no form dictionary');
  if (form.SigFlags !== undefined) throw new Error('the document has a signature field already');
  form.SigFlags = existAndAppendOnly;
  // A viewer that made its own appearances would change a signed document; PDF/A forbids the flag.
  delete form.NeedAppearances;
  return form;
}

/** pdfkit writes a primitive string as a name and a boxed one as text. */
function pdfText(text: string): object {
  return Object(text);
}
