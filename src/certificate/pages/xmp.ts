import type { CertificateContent } from '../content/content.js';
import type { Pdf } from './fonts.js';

/**
 * Writes the document's metadata as XMP in place of pdfkit's own, which leaves `&` and `<` of a shop's name as they
 * are and so breaks the XML. No part of it names PDF/A-3: nothing independent has validated these files against it.
 */
export function writeXmp(pdf: Pdf, { metadata, language }: Pick<CertificateContent, 'metadata' | 'language'>): void {
  const moment = `${new Date(metadata.createdAt).toISOString().split('.')[0]}Z`;
  const host = pdf as unknown as { _addInfo: () => void; _addPdfaMetadata: () => void; appendXML(xml: string): void };
  host._addPdfaMetadata = () => {};
  host._addInfo = () =>
    host.appendXML(`
<rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<xmp:CreateDate>${moment}</xmp:CreateDate>
<xmp:ModifyDate>${moment}</xmp:ModifyDate>
<xmp:CreatorTool>dwellmark</xmp:CreatorTool>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">${escaped(metadata.title)}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>${escaped(metadata.author)}</rdf:li></rdf:Seq></dc:creator>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">${escaped(metadata.subject)}</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>${language}</rdf:li></rdf:Bag></dc:language>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:pdf="http://ns.adobe.com/pdf/1.3/">
<pdf:Producer>dwellmark</pdf:Producer>
<pdf:Keywords>${escaped(metadata.keywords)}</pdf:Keywords>
</rdf:Description>
`);
}

const escaped = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
