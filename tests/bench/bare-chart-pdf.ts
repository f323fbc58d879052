import { createRequire } from 'node:module';
import type { PressureChart } from '../../src/certificate/chart/chart-frame.js';

/** A chart to draw and where. */
export interface PlacedChart {
  readonly chart: PressureChart;
  readonly size: readonly [number, number];
  readonly at: readonly [number, number];
}

/**
 * What a script without any care would do: the same charts through the same chart library as SVG into pdfkit, and a
 * plain table in the same font. No wording, no layout, no attachments, no structure.
 */
export async function bareChartPdf(
  charts: readonly PlacedChart[],
  rows: readonly (readonly string[])[],
  font: string,
): Promise<Buffer> {
  const { default: PDFDocument } = await import('pdfkit');
  const { ChartJSNodeCanvas } = await import('chartjs-node-canvas');
  const svgToPdf = createRequire(import.meta.url)('svg-to-pdfkit') as (...args: unknown[]) => void;
  const pdf = new PDFDocument({ size: 'A4', margin: 40 });
  const chunks: Buffer[] = [];
  const whole = new Promise<Buffer>((resolve) => {
    pdf.on('data', (chunk: Buffer) => chunks.push(chunk));
    pdf.on('end', () => resolve(Buffer.concat(chunks)));
  });
  pdf.registerFont('body', font).font('body').fontSize(7);
  for (const { chart, size, at } of charts) {
    const canvas = new ChartJSNodeCanvas({ width: size[0], height: size[1], type: 'svg' });
    canvas.registerFont(font, { family: 'IBM Plex Sans' });
    const svg = canvas.renderToBufferSync(chart as never, 'image/svg+xml').toString('utf8');
    svgToPdf(pdf, svg, at[0], at[1], { width: size[0], height: size[1], assumePt: true, fontCallback: () => 'body' });
  }
  for (const [index, row] of rows.entries())
    for (const [column, text] of row.entries())
      pdf.text(text, 40 + column * 150, 420 + index * 11, { lineBreak: false });
  pdf.end();
  return whole;
}
