import PDFDocument from 'pdfkit';
import { drawCode } from './blocks/heading.js';
import type { CertificateContent } from './content/content.js';
import { collectPdf, documentOptions } from './pages/document.js';
import { shippedLayout } from './pages/layout.js';
import { quiet, Sheet, type TextStyle } from './pages/sheet.js';
import { writeXmp } from './pages/xmp.js';

/** 62 x 29 mm, a common size of label rolls. */
const labelSize: [number, number] = [175.75, 82.2];
const margin = 6;

/**
 * A label for the cylinder: whose, which, what came out, when, and a code of certificate number and record hash.
 * The same content gives the same bytes.
 */
export async function renderLabel(content: CertificateContent): Promise<Buffer> {
  const layout = shippedLayout();
  const pdf = new PDFDocument(documentOptions(content));
  const whole = collectPdf(pdf);
  writeXmp(pdf, content);
  const sheet = new Sheet(pdf, layout, content.accent ?? layout.colour.accent);
  const [width, height] = labelSize;
  pdf.addPage({ size: labelSize, margin: 0 });
  const codeSize = height - 2 * margin;
  const textWidth = width - codeSize - 3 * margin;
  drawCode(sheet, content.code, width - margin - codeSize, margin, codeSize);
  const lines: readonly LabelLine[] = [
    { text: content.shop.name, style: { font: 'bold', size: 7, colour: sheet.accent } },
    { text: content.groups[0]?.facts[0]?.value ?? '', style: { font: 'bold', size: 8 } },
    { text: content.verdict.word, style: { font: 'bold', size: 8 } },
    ...content.underTitle.slice(0, 2).map((text) => ({ text, style: { size: 5.5 } })),
    ...[
      content.acrossEveryPage === content.verdict.word ? '' : (content.acrossEveryPage ?? ''),
      ...content.everyPage,
    ].map((text) => ({
      text,
      style: { font: 'bold' as const, size: 5, colour: quiet },
    })),
  ];
  let y = margin;
  for (const { text, style } of fitted(sheet, lines, textWidth, codeSize)) {
    sheet.tag('P', () => sheet.write(text, margin, y, style));
    y += style.size * layout.type.line;
  }
  sheet.endStructure();
  pdf.end();
  return whole;
}

interface LabelLine {
  readonly text: string;
  readonly style: TextStyle & { readonly size: number };
}

/** The lines broken to the width; all type gets smaller until they fit into the height. */
function fitted(sheet: Sheet, lines: readonly LabelLine[], width: number, height: number): readonly LabelLine[] {
  for (let shrink = 1; ; shrink *= 0.95) {
    const broken = lines.flatMap(({ text, style }) => {
      const smaller = { ...style, size: style.size * shrink };
      return text === '' ? [] : sheet.wrap(text, width, smaller).map((line) => ({ text: line, style: smaller }));
    });
    if (broken.reduce((sum, { style }) => sum + style.size * sheet.layout.type.line, 0) <= height) return broken;
  }
}
