import { dictionaryIn, openPdf, type PdfFile, pdfText } from './file.js';
import { type PdfValue, pdfFault } from './syntax.js';

/** A file that travels inside a PDF. `name` is what the PDF says: don't write to it without looking at it first. */
export interface PdfAttachment {
  readonly name: string;
  readonly bytes: Buffer;
}

/**
 * The files attached to a PDF, by name, byte for byte as they were attached; none is an empty list.
 *
 * Throws `input` for a file that is no PDF and `altered` for one that is damaged, was changed by another program, or
 * attaches two files under one name.
 *
 * @example
 * readPdfAttachments(pdf).map(({ name }) => name); // ['record.json', 'trace.csv']
 */
export function readPdfAttachments(pdf: Buffer): PdfAttachment[] {
  const file = openPdf(pdf);
  const names = dictionaryIn(file, file.catalogue, 'Names');
  const tree = names && dictionaryIn(file, names, 'EmbeddedFiles');
  if (tree === undefined) return [];
  const list = file.resolve(tree.entries.get('Names'));
  if (list?.kind !== 'array') throw pdfFault('its list of attachments is broken', tree.start);
  const found = list.items.filter((_, index) => index % 2 === 1).map((item) => attachmentOf(file, item));
  const twice = found.find(({ name }, index) => found.findIndex((other) => other.name === name) !== index);
  if (twice) throw pdfFault(`it attaches '${twice.name}' twice`, list.start);
  return found.sort((one, other) => (one.name < other.name ? -1 : 1));
}

function attachmentOf(file: PdfFile, item: PdfValue): PdfAttachment {
  const specification = file.resolve(item);
  if (specification?.kind !== 'dictionary') throw pdfFault('an attachment is broken', item.start);
  const name = file.resolve(specification.entries.get('UF') ?? specification.entries.get('F'));
  const content = dictionaryIn(file, specification, 'EF')?.entries.get('F');
  if (name?.kind !== 'string') throw pdfFault('an attachment has no name', specification.start);
  const bytes = file.stream(content);
  const size = statedSize(file, content);
  if (size !== undefined && size !== bytes.length) throw pdfFault(`'${pdfText(name)}' has not its stated size`);
  return { name: pdfText(name), bytes };
}

function statedSize(file: PdfFile, content: PdfValue | undefined): number | undefined {
  const dictionary = file.resolve(content);
  if (dictionary?.kind !== 'dictionary') return undefined;
  const size = file.resolve(dictionaryIn(file, dictionary, 'Params')?.entries.get('Size'));
  return size?.kind === 'number' ? size.value : undefined;
}
