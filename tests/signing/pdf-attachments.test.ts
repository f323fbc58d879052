import { describe, expect, test } from 'vitest';
import { readPdfAttachments } from '../../src/signing/index.js';
import { PdfReader } from '../../src/signing/pdf/syntax.js';
import { pdfOf, recordJson, sampleDocument, traceCsv } from './sample-document.js';

const attaching = (names: string, file: string, stream: string | Buffer, catalogue = '/Names 2 0 R'): Buffer =>
  pdfOf([`<< /Type /Catalog ${catalogue} >>`, `<< /EmbeddedFiles << /Names ${names} >> >>`, file, stream]);

const listed = '[(a) 3 0 R]';
const filespec = '<< /F (a.txt) /EF << /F 4 0 R >> >>';
const plainStream = '<< /Length 5 >>\nstream\nhello\nendstream';

describe('attachments of a PDF', () => {
  test('come out byte for byte, by name, from what the certificate is written with', async () => {
    const bytes = Buffer.from(Array.from({ length: 2048 }, (_, index) => (index * 37) & 0xff));
    const attachments = {
      'trace.csv': traceCsv,
      'record.json': recordJson,
      'Prüfung (1).bin': bytes,
      leer: Buffer.alloc(0),
    };
    const found = readPdfAttachments(await sampleDocument({ attachments }));
    expect(found).toEqual([
      { name: 'Prüfung (1).bin', bytes },
      { name: 'leer', bytes: Buffer.alloc(0) },
      { name: 'record.json', bytes: recordJson },
      { name: 'trace.csv', bytes: traceCsv },
    ]);
  });

  test('are none in a document without any', () => {
    expect(readPdfAttachments(pdfOf(['<< /Type /Catalog >>']))).toEqual([]);
  });

  test('may lie unpacked in the file', () => {
    expect(readPdfAttachments(attaching(listed, filespec, plainStream))).toEqual([
      { name: 'a.txt', bytes: Buffer.from('hello') },
    ]);
  });

  test.each<[string, Buffer, RegExp]>([
    ['no PDF', Buffer.from('hello'), /no PDF/],
    ['cut off', Buffer.from('%PDF-1.7\n'), /its end is missing/],
    ['a table that is elsewhere', Buffer.from('%PDF-1.7\nstartxref\n9999\n%%EOF'), /nowhere/],
    ['another kind of table', Buffer.from('%PDF-1.5\n7 0 obj\nstartxref\n9\n%%EOF'), /written by another program/],
    ['a file that was updated', pdfOf(['<< >>'], '/Root 1 0 R /Prev 9'), /something was added/],
    ['no catalogue', pdfOf(['<< >>'], ''), /no catalogue/],
    ['an object that is missing', attaching('[(a) 9 0 R]', filespec, plainStream), /object 9 is missing/],
    ['no list', attaching('7', filespec, plainStream), /list of attachments is broken/],
    ['an attachment without a name', attaching(listed, '<< /EF << /F 4 0 R >> >>', plainStream), /has no name/],
    ['an attachment without content', attaching(listed, '<< /F (a) >>', plainStream), /a stream is missing/],
    ['one name twice', attaching('[(a) 3 0 R (b) 3 0 R]', filespec, plainStream), /attaches 'a.txt' twice/],
    [
      'a stream longer than the file',
      attaching(listed, filespec, '<< /Length 9999 >>\nstream\nx'),
      /longer than the file/,
    ],
    [
      'a stream of another length',
      attaching(listed, filespec, '<< /Length 3 >>\nstream\nhello\nendstream'),
      /'endstream' is missing/,
    ],
    [
      'another packing',
      attaching(listed, filespec, '<< /Filter /LZWDecode /Length 1 >>\nstream\nx\nendstream'),
      /packed in a way/,
    ],
    [
      'a packed stream that is not',
      attaching(listed, filespec, '<< /Filter /FlateDecode /Length 1 >>\nstream\nx\nendstream'),
      /does not unpack/,
    ],
    [
      'another size than stated',
      attaching(listed, filespec, '<< /Params << /Size 4 >> /Length 5 >>\nstream\nhello\nendstream'),
      /stated size/,
    ],
    ['nesting without end', attaching('['.repeat(500), filespec, plainStream), /nested too deep/],
    ['a key twice in one dictionary', attaching(listed, '<< /F (a) /F (b) >>', plainStream), /stands twice/],
    [
      'a table line that is none',
      Buffer.from('%PDF-1.7\nxref\n0 1\n0 65535 f\ntrailer\nstartxref\n9\n%%EOF\n'),
      /table of objects is broken/,
    ],
  ])('are refused in one line for %s', (_, pdf, message) => {
    expect(() => readPdfAttachments(pdf)).toThrow(message);
    expect(() => readPdfAttachments(pdf)).toThrow(expect.objectContaining({ name: 'DwellmarkError' }));
  });
});

describe('PDF syntax', () => {
  const read = (text: string): unknown => new PdfReader(Buffer.from(text, 'latin1'), 0).value();

  test.each([
    ['(a\\(b\\)c (d) \\101\\7\\\\\\n\\\r\nend)', 'a(b)c (d) A\x07\\\nend'],
    ['<48 65 6C6c6F7>', 'Hellop'],
    ['()', ''],
  ])('the string %j', (text, expected) => {
    expect(read(text)).toMatchObject({ kind: 'string', bytes: Buffer.from(expected, 'latin1') });
  });

  test.each([
    ['12 0 R', { kind: 'reference', id: 12 }],
    ['% a comment\n-12.5', { kind: 'number', value: -12.5 }],
    ['/A#20B', { kind: 'name', value: 'A B' }],
    ['[1 2 0 R true]', { kind: 'array', items: [{ value: 1 }, { id: 2 }, { value: 'true' }] }],
  ])('the value %j', (text, expected) => {
    expect(read(text)).toMatchObject(expected);
  });

  test.each(['', '(open', '<4g>', '<48', '<< 1 2 >>', '<< /A 1', '[1', 'nonsense', '1.2.3', ')'])(
    'refuses %j',
    (text) => {
      expect(() => read(text)).toThrow(/this PDF can't be read/);
    },
  );
});
