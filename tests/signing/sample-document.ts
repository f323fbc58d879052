import { mkdtempSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import PDFDocument from 'pdfkit';
import { reserveSignature } from '../../src/signing/index.js';
import type { SignatureFieldOptions } from '../../src/signing/pdf/signature-field.js';

export const issuedAt = new Date('2026-03-02T10:15:00Z');
export const recordJson = Buffer.from('{"test":"T-2026-0007","verdict":"pass"}');
export const traceCsv = Buffer.from(`time_s,pressure_bar\n${'0.1,250.02\n'.repeat(400)}`);

const font = createRequire(import.meta.url).resolve(
  '@expo-google-fonts/ibm-plex-sans/400Regular/IBMPlexSans_400Regular.ttf',
);

interface Wish {
  readonly title?: string;
  readonly attachments?: Readonly<Record<string, Buffer>>;
  readonly compress?: boolean;
  readonly field?: Partial<SignatureFieldOptions> | null;
}

/** A two-page document as the certificate is made: PDF 1.7, tagged, embedded font, two attachments, a signature field. */
export async function sampleDocument(wish: Wish = {}): Promise<Buffer> {
  const info = { Title: wish.title ?? 'C-2026-0007', CreationDate: issuedAt, ModDate: issuedAt };
  const options = { pdfVersion: '1.7', subset: 'PDF/A-3b', tagged: true, compress: wish.compress ?? true, font, info };
  const doc = new PDFDocument(options as ConstructorParameters<typeof PDFDocument>[0]);
  const chunks: Buffer[] = [];
  doc.on('data', (chunk: Buffer) => chunks.push(chunk));
  const written = new Promise((resolve) => doc.on('end', resolve));
  doc.text('Hold test, port A: 250 bar').addPage().text('Page 2 of 2');
  for (const [name, bytes] of Object.entries(
    wish.attachments ?? { 'record.json': recordJson, 'trace.csv': traceCsv },
  )) {
    doc.file(bytes, { name, creationDate: issuedAt, modifiedDate: issuedAt });
  }
  const field = { name: 'Harrow Lane Hydraulics', reason: 'Certificate C-2026-0007', date: issuedAt };
  if (wish.field !== null) reserveSignature(doc, { ...field, ...wish.field });
  doc.end();
  await written;
  return Buffer.concat(chunks);
}

/** An empty folder of one's own, and how to be rid of it. */
export function scratchFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'signing-'));
  return { path, remove: () => rmSync(path, { recursive: true }) };
}

/** A copy with the byte at `at` replaced. */
export function withByte(pdf: Buffer, at: number, value: number): Buffer {
  const copy = Buffer.from(pdf);
  copy[at] = value;
  return copy;
}

/** A PDF from objects 1..n, with a correct table. */
export function pdfOf(objects: readonly (string | Buffer)[], trailer = '/Root 1 0 R'): Buffer {
  const parts: Buffer[] = [Buffer.from('%PDF-1.7\n')];
  const offsets: number[] = [];
  let length = 9;
  for (const [index, object] of objects.entries()) {
    const part = Buffer.concat([Buffer.from(`${index + 1} 0 obj\n`), Buffer.from(object), Buffer.from('\nendobj\n')]);
    offsets.push(length);
    length += part.length;
    parts.push(part);
  }
  const lines = offsets.map((offset) => `${String(offset).padStart(10, '0')} 00000 n \n`).join('');
  const table = `xref\n0 ${objects.length + 1}\n0000000000 65535 f \n${lines}`;
  parts.push(
    Buffer.from(`${table}trailer\n<< /Size ${objects.length + 1} ${trailer} >>\nstartxref\n${length}\n%%EOF\n`),
  );
  return Buffer.concat(parts);
}
