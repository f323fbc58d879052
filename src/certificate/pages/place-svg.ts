import { createRequire } from 'node:module';
import { fontNames, type Pdf } from './fonts.js';

type SvgToPdf = (pdf: Pdf, svg: string, x: number, y: number, options: object) => void;

const svgToPdf = createRequire(import.meta.url)('svg-to-pdfkit') as SvgToPdf;

/** Sets an SVG into the page as vectors, its text in the embedded font. */
export function placeSvg(
  pdf: Pdf,
  svg: string,
  x: number,
  y: number,
  width: number,
  height: number,
  align = 'xMidYMid',
): void {
  svgToPdf(pdf, svg, x, y, {
    width,
    height,
    assumePt: true,
    preserveAspectRatio: align,
    fontCallback: (_family: string, bold: boolean) => (bold ? fontNames.bold : fontNames.regular),
  });
}
