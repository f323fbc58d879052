import type { PressureChart } from '../chart/chart-frame.js';
import { chartStyle } from '../chart/chart-style.js';
import { drawChart } from '../chart/draw-chart.js';
import { dwellCharts } from '../chart/dwell-charts.js';
import { traceChart } from '../chart/trace-chart.js';
import type { CertificateContent } from '../content/content.js';
import type { Block } from '../pages/flow.js';
import type { Sheet } from '../pages/sheet.js';

const mostPerRow = 3;
const gap = 8;
const legendHeight = 11;

/** The whole test; it grows to fill the page. */
export function traceBlock(sheet: Sheet, content: CertificateContent, width: number): Block {
  const { trace_least: least, trace_most: most } = sheet.layout.chart;
  const { story, alt } = content.chart;
  return {
    height: least,
    stretch: most - least,
    bookmark: content.chart.title,
    draw: (x, y, height) => placeChart(sheet, traceChart(story, width), alt, x, y, width, height),
  };
}

/** Each dwell enlarged, up to three in a row. */
export function dwellRows(sheet: Sheet, content: CertificateContent, width: number): readonly Block[] {
  const { story } = content.chart;
  const perRow = Math.min(mostPerRow, Math.max(2, holdsOf(content)));
  const eachWidth = (width - gap * (perRow - 1)) / perRow;
  const charts = dwellCharts(story, eachWidth, 'none');
  const height = sheet.layout.chart.dwell - legendHeight;
  return Array.from({ length: Math.ceil(charts.length / perRow) }, (_, row) => ({
    height: height + (row === 0 ? legendHeight : 0),
    gap: 3,
    draw: (x: number, top: number) => {
      if (row === 0) drawLegend(sheet, content, x + width, top);
      const y = top + (row === 0 ? legendHeight : 0);
      for (const [index, { chart, label }] of charts.slice(row * perRow, (row + 1) * perRow).entries())
        placeChart(sheet, chart, label, x + index * (eachWidth + gap), y, eachWidth, height);
    },
  }));
}

/** The table of results with the enlarged dwells at its right, one below the other. */
export function tableWithDwells(
  sheet: Sheet,
  content: CertificateContent,
  table: Block,
  width: number,
  tableWidth: number,
): Block {
  const chartWidth = width - tableWidth - gap;
  const charts = dwellCharts(content.chart.story, chartWidth, 'none');
  const each = Math.min(sheet.layout.chart.dwell, (table.height - legendHeight) / Math.max(1, charts.length));
  return {
    height: table.height,
    ...(table.bookmark === undefined ? {} : { bookmark: table.bookmark }),
    draw: (x, y, height) => {
      table.draw(x, y, height);
      drawLegend(sheet, content, x + width, y);
      for (const [index, { chart, label }] of charts.entries())
        placeChart(sheet, chart, label, x + tableWidth + gap, y + legendHeight + index * each, chartWidth, each);
    },
  };
}

export const holdsOf = (content: CertificateContent): number =>
  content.chart.story.spans.reduce((sum, span) => sum + span.holds.length, 0);

/** One legend for all enlarged dwells, ending at `right`: a piece of each line and its word. */
function drawLegend(sheet: Sheet, content: CertificateContent, right: number, y: number): void {
  const { readings, fit, band } = content.chart.story.words;
  const items = [
    { word: band, style: chartStyle.band },
    { word: fit, style: chartStyle.fit },
    { word: readings, style: chartStyle.readings },
  ];
  const [piece, space, size] = [12, 8, chartStyle.fontSize];
  sheet.tag('P', () => {
    let end = right;
    for (const { word, style } of items) {
      const left = end - sheet.width(word, { size });
      sheet.line(left - piece - 3, y + 0.62 * size, piece, style);
      sheet.write(word, left, y, { size });
      end = left - piece - 3 - space;
    }
  });
}

function placeChart(
  sheet: Sheet,
  chart: PressureChart,
  alt: string,
  x: number,
  y: number,
  width: number,
  height: number,
): void {
  const { operators, texts } = drawChart(chart, Math.floor(width), Math.floor(height), sheet.measure);
  const { pdf } = sheet;
  sheet.tag(
    'Figure',
    () => {
      pdf.save().transform(1, 0, 0, 1, x, y);
      pdf.addContent(operators);
      for (const { text, x: left, y: baseline, size, colour, matrix } of texts) {
        const turned = matrix[1] !== 0;
        const [dx, dy] = turned ? [0, 0] : [matrix[4], matrix[5]];
        if (turned) pdf.save().transform(...matrix);
        sheet.writeOn(text, left + dx, baseline + dy, { size, colour });
        if (turned) pdf.restore();
      }
      pdf.restore();
    },
    { alt },
  );
}
