import { inflateSync } from 'node:zlib';
import { DwellmarkError } from '../../units/index.js';
import { type PdfDictionary, PdfReader, type PdfString, type PdfValue, pdfFault } from './syntax.js';

const largestStreamBytes = 256 * 2 ** 20;
const tailBytes = 1024;

/**
 * A PDF as pdfkit writes it: one plain cross-reference table, no object streams, nothing appended. A file that went
 * through another program is told from that and refused; what it says can't be the shop's own word any more.
 */
export interface PdfFile {
  readonly bytes: Buffer;
  readonly catalogue: PdfDictionary;
  /** The value itself, or the object that a reference names. */
  resolve(value: PdfValue | undefined): PdfValue | undefined;
  /** The uncompressed bytes of the stream that a reference names. */
  stream(value: PdfValue | undefined): Buffer;
}

/** Throws `input` for a file that is no PDF, `altered` for one that is not as pdfkit writes it. */
export function openPdf(bytes: Buffer): PdfFile {
  if (bytes.toString('latin1', 0, 5) !== '%PDF-') {
    throw new DwellmarkError('input', 'this is no PDF: it does not start with %PDF-');
  }
  const { offsets, trailer } = crossReferences(bytes);

  const resolve = (value: PdfValue | undefined): PdfValue | undefined => {
    if (value?.kind !== 'reference') return value;
    const reader = objectAt(bytes, offsets, value.id);
    return reader.value();
  };
  const stream = (value: PdfValue | undefined): Buffer => {
    if (value?.kind !== 'reference') throw pdfFault('a stream is missing', value?.start);
    const reader = objectAt(bytes, offsets, value.id);
    const dictionary = reader.value();
    if (dictionary.kind !== 'dictionary') throw pdfFault('a stream has no dictionary', dictionary.start);
    const length = resolve(dictionary.entries.get('Length'));
    reader.expect('stream');
    return inflated(dictionary, streamBytes(bytes, reader.at, length));
  };

  const catalogue = resolve(trailer.entries.get('Root'));
  if (catalogue?.kind !== 'dictionary') throw pdfFault('it has no catalogue', trailer.start);
  return { bytes, catalogue, resolve, stream };
}

/** The dictionary under `key`, whether it stands there or is referred to. */
export function dictionaryIn(pdf: PdfFile, parent: PdfDictionary, key: string): PdfDictionary | undefined {
  const value = pdf.resolve(parent.entries.get(key));
  if (value === undefined || value.kind === 'dictionary') return value;
  throw pdfFault(`/${key} is no dictionary`, value.start);
}

/** Text of a PDF string: UTF-16 with a byte order mark, else one byte a character. */
export function pdfText(value: PdfString): string {
  const { bytes } = value;
  if (bytes[0] !== 0xfe || bytes[1] !== 0xff) return bytes.toString('latin1');
  const body = Buffer.from(bytes.subarray(2, bytes.length - (bytes.length % 2)));
  return body.swap16().toString('utf16le');
}

function crossReferences(bytes: Buffer): { offsets: ReadonlyMap<number, number>; trailer: PdfDictionary } {
  const mark = bytes.lastIndexOf('startxref');
  if (mark < bytes.length - tailBytes || mark < 0) throw pdfFault('its end is missing', bytes.length);
  const tail = new PdfReader(bytes, mark + 'startxref'.length);
  const start = tail.value();
  if (start.kind !== 'number' || start.value >= mark) throw pdfFault('its table of objects is nowhere', mark);
  const reader = new PdfReader(bytes, start.value);
  if (!reader.takes('xref')) throw pdfFault('its table of objects was written by another program', start.value);
  const offsets = new Map<number, number>();
  while (!reader.takes('trailer')) readSection(bytes, reader, offsets);
  const trailer = reader.value();
  if (trailer.kind !== 'dictionary') throw pdfFault('its trailer is broken', trailer.start);
  if (trailer.entries.has('Prev')) throw pdfFault('something was added after it was written', trailer.start);
  return { offsets, trailer };
}

/** A section of the table: first number and count, then 20 bytes an object (ISO 32000-1, 7.5.4). */
function readSection(bytes: Buffer, reader: PdfReader, offsets: Map<number, number>): void {
  const first = reader.value();
  const count = reader.value();
  if (first.kind !== 'number' || count.kind !== 'number') throw pdfFault('its table of objects is broken', first.start);
  reader.skipBlank();
  for (let index = 0; index < count.value; index += 1) {
    const line = /^(\d{10}) \d{5} ([nf])[ \r][\r\n]$/.exec(bytes.toString('latin1', reader.at, reader.at + 20));
    if (!line) throw pdfFault('its table of objects is broken', reader.at);
    if (line[2] === 'n') offsets.set(first.value + index, Number(line[1]));
    reader.at += 20;
  }
}

/** A reader that stands at the value of object `id`. */
function objectAt(bytes: Buffer, offsets: ReadonlyMap<number, number>, id: number): PdfReader {
  const offset = offsets.get(id);
  if (offset === undefined) throw pdfFault(`object ${id} is missing`);
  const reader = new PdfReader(bytes, offset);
  const own = reader.value();
  if (own.kind !== 'number' || own.value !== id) throw pdfFault(`object ${id} is not where the table says`, offset);
  reader.value();
  reader.expect('obj');
  return reader;
}

function streamBytes(bytes: Buffer, after: number, length: PdfValue | undefined): Buffer {
  const start = after + (bytes[after] === 0x0d ? 2 : 1);
  if (bytes[start - 1] !== 0x0a || length?.kind !== 'number') throw pdfFault('a stream is broken', after);
  const end = start + length.value;
  if (end > bytes.length) throw pdfFault('a stream is longer than the file', after);
  new PdfReader(bytes, end).expect('endstream');
  return bytes.subarray(start, end);
}

function inflated(dictionary: PdfDictionary, packed: Buffer): Buffer {
  const filter = dictionary.entries.get('Filter');
  if (filter === undefined) return packed;
  if (filter.kind !== 'name' || filter.value !== 'FlateDecode' || dictionary.entries.has('DecodeParms')) {
    throw pdfFault('a stream is packed in a way that this program does not use', filter.start);
  }
  try {
    return inflateSync(packed, { maxOutputLength: largestStreamBytes });
  } catch {
    throw pdfFault('a stream does not unpack', dictionary.start);
  }
}
