import PDFDocument from 'pdfkit';
import { factColumns } from './blocks/facts.js';
import { headingBlock } from './blocks/heading.js';
import { paragraphs } from './blocks/paragraphs.js';
import type { CertificateContent, FactGroup } from './content/content.js';
import { collectPdf, documentOptions } from './pages/document.js';
import { paperSizes, placeBlocks } from './pages/flow.js';
import { drawFurniture, runningHeadHeight } from './pages/furniture.js';
import { shippedLayout } from './pages/layout.js';
import { Sheet } from './pages/sheet.js';
import { writeXmp } from './pages/xmp.js';

/** What a page says that holds two tests beside each other. */
export interface ComparisonContent
  extends Pick<
    CertificateContent,
    | 'shop'
    | 'title'
    | 'underTitle'
    | 'logo'
    | 'code'
    | 'metadata'
    | 'language'
    | 'paper'
    | 'accent'
    | 'pageOf'
    | 'endMark'
    | 'everyPage'
    | 'acrossEveryPage'
  > {
  /** Rows of groups that stand side by side. */
  readonly rows: readonly (readonly FactGroup[])[];
  readonly notes: { readonly title: string; readonly lines: readonly string[] };
  readonly small: readonly string[];
}

const pointsPerMm = 72 / 25.4;

/** Sets a comparison as PDF; the same content gives the same bytes. */
export async function renderComparison(content: ComparisonContent): Promise<Buffer> {
  const layout = shippedLayout();
  const pdf = new PDFDocument(documentOptions(content));
  const whole = collectPdf(pdf);
  writeXmp(pdf, content);
  const sheet = new Sheet(pdf, layout, content.accent ?? layout.colour.accent);
  const [width, height] = paperSizes[content.paper];
  const frame = {
    left: layout.page.margin_left_mm * pointsPerMm,
    right: width - layout.page.margin_right_mm * pointsPerMm,
    top: layout.page.margin_top_mm * pointsPerMm,
    bottom: height - layout.page.margin_bottom_mm * pointsPerMm,
  };
  const [room, across] = [frame.bottom - frame.top, frame.right - frame.left];
  const blocks = [
    headingBlock(sheet, content, across),
    ...content.rows.map((row) => factColumns(sheet, row, across)),
    ...paragraphs(sheet, content.notes.title, content.notes.lines, across),
    ...paragraphs(sheet, null, content.small, across, 'small'),
  ];
  const pages = placeBlocks(blocks, { first: room, later: room - runningHeadHeight }, layout.page.gap);
  for (const [index, page] of pages.entries()) {
    pdf.addPage({ size: [width, height], margin: 0 });
    const top = frame.top + (index === 0 ? 0 : runningHeadHeight);
    for (const { block, y, height: blockHeight } of page) block.draw(frame.left, top + y, blockHeight);
    drawFurniture(sheet, content, { number: index + 1, of: pages.length }, frame);
  }
  sheet.endStructure();
  pdf.end();
  return whole;
}
