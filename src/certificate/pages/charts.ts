import { drawSvg } from '../chart/draw-svg.js';
import type { CertificateContent } from '../content/content.js';
import { dwellCharts, traceChart } from '../pressure-chart.js';
import type { Block } from './flow.js';
import { placeSvg } from './place-svg.js';
import { fontFile, type Sheet } from './sheet.js';

const mostPerRow = 3;
const gap = 8;

/** The whole trace, and below it each dwell enlarged, up to three in a row. */
export function chartBlocks(sheet: Sheet, content: CertificateContent, width: number): readonly Block[] {
  const { trace_least: least, trace_most: most, dwell: dwellHeight } = sheet.layout.chart;
  const { story, alt } = content.chart;
  const holds = story.spans.reduce((sum, span) => sum + span.holds.length, 0);
  const perRow = Math.min(mostPerRow, Math.max(2, holds));
  const eachWidth = (width - gap * (perRow - 1)) / perRow;
  const rows = Math.ceil(holds / perRow);
  const whole: Block = {
    height: least,
    stretch: most - least,
    draw: (x, y, height) => {
      const tall = Math.floor(height);
      const svg = drawSvg(traceChart(story, width), Math.floor(width), tall, fontFile('regular'));
      sheet.tag('Figure', () => placeSvg(sheet.pdf, svg, x, y, Math.floor(width), tall), { alt });
    },
  };
  const dwells = dwellCharts(story, eachWidth * 0.9);
  const rowBlocks = Array.from(
    { length: rows },
    (_, row): Block => ({
      height: dwellHeight,
      gap: 3,
      draw: (x, y) => {
        for (const [index, { chart, label }] of dwells.slice(row * perRow, (row + 1) * perRow).entries()) {
          const svg = drawSvg(chart, Math.floor(eachWidth), dwellHeight, fontFile('regular'));
          const left = x + index * (eachWidth + gap);
          sheet.tag('Figure', () => placeSvg(sheet.pdf, svg, left, y, Math.floor(eachWidth), dwellHeight), {
            alt: label,
          });
        }
      },
    }),
  );
  return [whole, ...rowBlocks];
}
