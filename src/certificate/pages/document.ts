import type { CertificateContent } from '../content/content.js';
import type { Pdf } from './fonts.js';

/**
 * How every document is opened: PDF 1.7, tagged, dates from the content, no page yet. What PDF/A-3 asks for and pdfkit
 * gives with `subset` (the colours' profile, among others) is kept; `writeXmp` leaves out the claim to it.
 */
export function documentOptions({
  metadata,
  language,
}: Pick<CertificateContent, 'metadata' | 'language'>): PDFKit.PDFDocumentOptions {
  const createdAt = new Date(metadata.createdAt);
  return {
    pdfVersion: '1.7',
    subset: 'PDF/A-3b',
    tagged: true,
    displayTitle: true,
    lang: language,
    autoFirstPage: false,
    font: '',
    info: {
      Title: metadata.title,
      Subject: metadata.subject,
      Author: metadata.author,
      Keywords: metadata.keywords,
      Creator: 'dwellmark',
      Producer: 'dwellmark',
      CreationDate: createdAt,
      ModDate: createdAt,
    },
  } as PDFKit.PDFDocumentOptions;
}

/** The bytes of a document, once it has ended. */
export function collectPdf(pdf: Pdf): Promise<Buffer> {
  const chunks: Buffer[] = [];
  return new Promise((resolve, reject) => {
    pdf.on('data', (chunk: Buffer) => chunks.push(chunk));
    pdf.on('end', () => resolve(Buffer.concat(chunks)));
    pdf.on('error', reject);
  });
}
