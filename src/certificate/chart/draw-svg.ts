import type { ChartConfiguration } from 'chart.js';
import { ChartJSNodeCanvas } from 'chartjs-node-canvas';
import type { PressureChart } from '../pressure-chart.js';
import { chartStyle } from './chart-style.js';

const canvases = new Map<string, ChartJSNodeCanvas>();

/** Draws a chart as SVG text, sizes in points; the canvas of a size is kept for the next chart. */
export function drawSvg(chart: PressureChart, width: number, height: number, fontFile: string): string {
  const size = `${width}x${height}`;
  let canvas = canvases.get(size);
  if (canvas === undefined) {
    canvas = new ChartJSNodeCanvas({ width, height, type: 'svg' });
    canvas.registerFont(fontFile, { family: chartStyle.font });
    canvases.set(size, canvas);
  }
  const svg = canvas.renderToBufferSync(chart as unknown as ChartConfiguration, 'image/svg+xml').toString('utf8');
  return tidied(svg);
}

/**
 * The canvas places each glyph by itself and writes ligatures as signs of their own. Text set from its first glyph on,
 * in plain letters, is smaller and can be searched. Coordinates keep a hundredth of a point.
 */
function tidied(svg: string): string {
  return svg
    .replace(/ x="(-?[\d.]+),[^"]*" y="(-?[\d.]+),[^"]*"/g, ' x="$1" y="$2"')
    .replace(/ﬁ/g, 'fi')
    .replace(/ﬂ/g, 'fl')
    .replace(/(\.\d\d)\d+/g, '$1');
}
