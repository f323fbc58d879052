import PDFDocument from 'pdfkit';
import { reserveSignature } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import { dwellRows, holdsOf, tableWithDwells, traceBlock } from './blocks/charts.js';
import { factColumns } from './blocks/facts.js';
import { headingBlock } from './blocks/heading.js';
import { paragraphs } from './blocks/paragraphs.js';
import { resultBlocks } from './blocks/results.js';
import { signatureBlocks } from './blocks/signatures.js';
import { verdictBlock } from './blocks/verdict.js';
import type { CertificateContent } from './content/content.js';
import { collectPdf, documentOptions } from './pages/document.js';
import { type Block, paperSizes, placeBlocks } from './pages/flow.js';
import { missingSign, type Pdf } from './pages/fonts.js';
import { drawFurniture, runningHeadHeight } from './pages/furniture.js';
import { type BlockName, type CertificateLayout, shippedLayout } from './pages/layout.js';
import { Sheet } from './pages/sheet.js';
import { writeXmp } from './pages/xmp.js';

const pointsPerMm = 72 / 25.4;
/** Item, work, method: the method has the longest lines. */
const identityShares = [1.1, 1.05, 1.2];
/** Width of the table of results where the enlarged dwells stand beside it. */
const besideShare = 0.68;

export interface RenderOptions {
  /** The shop's own layout; the shipped one otherwise. */
  readonly layout?: CertificateLayout;
  /** Reserve an invisible signature field, to be filled by the PDF signature. */
  readonly signatureField?: boolean;
}

/**
 * Sets a certificate as PDF 1.7, fonts embedded. The same content and options give the same bytes: dates and identity
 * come from the content, never from the clock.
 * @throws DwellmarkError `input` for a logo that can't be used, or a sign that the embedded font lacks.
 */
export async function renderCertificate(content: CertificateContent, options: RenderOptions = {}): Promise<Buffer> {
  const layout = options.layout ?? shippedLayout();
  const pdf = new PDFDocument(documentOptions(content));
  const whole = collectPdf(pdf);
  writeXmp(pdf, content);
  const sheet = new Sheet(pdf, layout, content.accent ?? layout.colour.accent);
  refuseUnknownSigns(content);
  const [width, height] = paperSizes[content.paper];
  const frame = {
    left: layout.page.margin_left_mm * pointsPerMm,
    right: width - layout.page.margin_right_mm * pointsPerMm,
    top: layout.page.margin_top_mm * pointsPerMm,
    bottom: height - layout.page.margin_bottom_mm * pointsPerMm,
  };
  const room = frame.bottom - frame.top;
  const blocks = layout.blocks.flatMap((name) => blocksOf(name, sheet, content, frame.right - frame.left));
  const pages = fewestPages(blocks, { first: room, later: room - runningHeadHeight }, layout.page.gap);
  for (const [index, page] of pages.entries()) {
    pdf.addPage({ size: [width, height], margin: 0 });
    const top = frame.top + (index === 0 ? 0 : runningHeadHeight);
    for (const { block, y, height: blockHeight } of page) {
      if (block.bookmark !== undefined) pdf.outline.addItem(block.bookmark);
      block.draw(frame.left, top + y, blockHeight);
    }
    drawFurniture(sheet, content, { number: index + 1, of: pages.length }, frame);
  }
  attach(pdf, content);
  if (options.signatureField === true)
    reserveSignature(pdf, {
      name: content.shop.name,
      reason: content.metadata.title,
      date: new Date(content.metadata.createdAt),
    });
  sheet.endStructure();
  pdf.end();
  return whole;
}

/** @throws DwellmarkError `input` when a text has a sign that the embedded font lacks: it would print as a box. */
function refuseUnknownSigns(content: CertificateContent): void {
  const { chart, attachments: _attached, logo: _logo, ...texts } = content;
  const sign = missingSign(JSON.stringify([texts, chart.story.words]).replace(/\\[nrt]/g, ' '));
  if (sign === undefined) return;
  throw new DwellmarkError('input', `the certificate's font has no sign for "${sign}"`, {
    advice: 'Write the name in Latin, Greek or Cyrillic letters in the job or the shop file.',
  });
}

function blocksOf(name: BlockName, sheet: Sheet, content: CertificateContent, width: number): readonly Block[] {
  switch (name) {
    case 'heading':
      return [headingBlock(sheet, content, width)];
    case 'identity':
      return [
        factColumns(sheet, content.groups, width, identityShares),
        ...(content.gauges === null ? [] : [factColumns(sheet, [content.gauges], width)]),
      ];
    case 'verdict':
      return [verdictBlock(sheet, content.verdict, width)];
    case 'chart':
      return [
        traceBlock(sheet, content, width),
        ...(dwellsBeside(sheet, content) ? [] : dwellRows(sheet, content, width)),
      ];
    case 'results':
      return [...tableBlocks(sheet, content, width), ...paragraphs(sheet, null, content.resultNotes, width, 'small')];
    case 'ports':
      return pairs(content.ports).map((pair) => factColumns(sheet, pair, width));
    case 'remarks':
      return paragraphs(sheet, content.remarks.title, content.remarks.lines, width);
    case 'signatures':
      return signatureBlocks(sheet, content.signatures.title, content.signatures.lines, content.signatures.none, width);
    case 'record':
      return paragraphs(sheet, null, [content.record], width, 'small');
    case 'statements':
      return paragraphs(sheet, null, [content.statements.join(' ')], width, 'small');
  }
}

/** Blocks stand closer where that saves a page: a last line does not go over by itself. */
function fewestPages(...[blocks, room, gap]: Parameters<typeof placeBlocks>): ReturnType<typeof placeBlocks> {
  const [usual, close] = [placeBlocks(blocks, room, gap), placeBlocks(blocks, room, gap * 0.55)];
  return close.length < usual.length ? close : usual;
}

/** With one or two dwells the table is narrow enough to have them at its side. */
const dwellsBeside = (sheet: Sheet, content: CertificateContent): boolean =>
  sheet.layout.blocks.includes('chart') &&
  holdsOf(content) > 0 &&
  holdsOf(content) <= 2 &&
  content.results.columns.length <= 2;

function tableBlocks(sheet: Sheet, content: CertificateContent, width: number): readonly Block[] {
  if (!dwellsBeside(sheet, content)) return resultBlocks(sheet, content.results, width);
  const tableWidth = width * besideShare;
  return resultBlocks(sheet, content.results, tableWidth).map((table) =>
    tableWithDwells(sheet, content, table, width, tableWidth),
  );
}

function pairs<Item>(items: readonly Item[]): readonly (readonly Item[])[] {
  const rows: (readonly Item[])[] = [];
  for (let start = 0; start < items.length; start += 2) rows.push(items.slice(start, start + 2));
  return rows;
}

function attach(pdf: Pdf, content: CertificateContent): void {
  const date = new Date(content.metadata.createdAt);
  for (const { name, type, description, relationship, text } of content.attachments)
    pdf.file(Buffer.from(text, 'utf8'), {
      name,
      type,
      description,
      relationship,
      creationDate: date,
      modifiedDate: date,
    } as PDFKit.Mixins.PDFAttachmentOptions);
}
