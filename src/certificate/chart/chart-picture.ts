import { createCanvas, Image } from '@napi-rs/canvas';
import type { ChartConfiguration } from 'chart.js';
import { ChartJSNodeCanvas } from 'chartjs-node-canvas';
import { fontFile } from '../pages/fonts.js';
import { chartStyle } from './chart-style.js';
import { dwellCharts } from './dwell-charts.js';
import { traceChart } from './trace-chart.js';
import type { TraceStory } from './trace-story.js';

/** Sizes in points, as on paper. */
const [width, traceHeight, dwellHeight, margin] = [540, 240, 150, 8];
/** Two pixels for each of a screen (96 to the inch), so that the picture is sharp in a mail and on paper. */
const pixelsPerPoint = 2 * (96 / 72);
const pixels = (points: number): number => Math.round(points * pixelsPerPoint);

/**
 * The charts of a test as one PNG: the whole test, and below it each dwell enlarged, two in a row. 1,440 pixels wide.
 * @example pixelSize of a test with two dwells: 1440 x 1105
 */
export function chartPicture(story: TraceStory): Buffer {
  const half = (width - 3 * margin) / 2;
  const dwells = dwellCharts(story, half, 'each').map(({ chart }) => drawn(chart, half, dwellHeight));
  const rows = Math.ceil(dwells.length / 2);
  const height = traceHeight + rows * (dwellHeight + margin) + 2 * margin;
  const whole = createCanvas(pixels(width), pixels(height));
  const pen = whole.getContext('2d');
  pen.fillStyle = '#ffffff';
  pen.fillRect(0, 0, whole.width, whole.height);
  pen.drawImage(drawn(traceChart(story, width), width - 2 * margin, traceHeight), pixels(margin), pixels(margin));
  for (const [index, picture] of dwells.entries()) {
    const left = margin + (index % 2) * (half + margin);
    const top = margin + traceHeight + margin + Math.floor(index / 2) * (dwellHeight + margin);
    pen.drawImage(picture, pixels(left), pixels(top));
  }
  return whole.toBuffer('image/png');
}

function drawn(chart: object, chartWidth: number, chartHeight: number): Image {
  const canvas = new ChartJSNodeCanvas({ width: chartWidth, height: chartHeight, backgroundColour: '#ffffff' });
  canvas.registerFont(fontFile('regular'), { family: chartStyle.font });
  const configuration = chart as ChartConfiguration;
  const options = { ...configuration.options, devicePixelRatio: pixelsPerPoint };
  const picture = new Image();
  picture.src = canvas.renderToBufferSync({ ...configuration, options });
  return picture;
}
