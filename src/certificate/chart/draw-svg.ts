import type { ChartConfiguration } from 'chart.js';
import { ChartJSNodeCanvas } from 'chartjs-node-canvas';
import type { PressureChart } from '../pressure-chart.js';
import { chartStyle } from './chart-style.js';

const canvases = new Map<string, ChartJSNodeCanvas>();

/** A chart as vectors: lines and areas as SVG, its texts apart, in points from the chart's upper left corner. */
export interface DrawnChart {
  readonly svg: string;
  readonly texts: readonly ChartText[];
}

/** A text on one line; `matrix` is the transformation that its baseline starts under. */
export interface ChartText {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly size: number;
  readonly colour: string;
  readonly matrix: readonly [number, number, number, number, number, number];
}

/** Draws a chart, sizes in points; the canvas of a size is kept for the next chart. */
export function drawSvg(chart: PressureChart, width: number, height: number, fontFile: string): DrawnChart {
  const size = `${width}x${height}`;
  let canvas = canvases.get(size);
  if (canvas === undefined) {
    if (canvases.size >= mostCanvases) canvases.clear();
    canvas = new ChartJSNodeCanvas({ width, height, type: 'svg' });
    canvas.registerFont(fontFile, { family: chartStyle.font });
    canvases.set(size, canvas);
  }
  const svg = canvas.renderToBufferSync(chart as unknown as ChartConfiguration, 'image/svg+xml').toString('utf8');
  return {
    svg: svg.replace(textElement, '').replace(/(\.\d\d)\d+/g, '$1'),
    texts: textsOf(svg),
  };
}

const mostCanvases = 40;
const textElement = /<text ([^>]*)>([^<]*)<\/text>/g;

/**
 * The canvas places every glyph by itself, gives each word an element of its own with an empty one for the space
 * between, and writes ligatures as signs. Here a text is whole again, so that it can be searched where it is set.
 */
function textsOf(svg: string): readonly ChartText[] {
  const texts: ChartText[] = [];
  let afterSpace = false;
  for (const [, attributes = '', content = ''] of svg.matchAll(textElement)) {
    const word = plainText(content);
    if (word === '') {
      afterSpace = true;
      continue;
    }
    const read = (name: string): string => new RegExp(` ?\\b${name}="([^",]*)`).exec(attributes)?.[1] ?? '';
    const next: ChartText = {
      text: word,
      x: Number(read('x')),
      y: Number(read('y')),
      size: Number(read('font-size')),
      colour: read('fill'),
      matrix: matrixOf(read('transform')),
    };
    const last = texts.at(-1);
    if (afterSpace && last !== undefined && sameLine(last, next))
      texts[texts.length - 1] = { ...last, text: `${last.text} ${word}` };
    else texts.push(next);
    afterSpace = false;
  }
  return texts;
}

const sameLine = (a: ChartText, b: ChartText): boolean =>
  a.y === b.y && a.colour === b.colour && a.size === b.size && String(a.matrix) === String(b.matrix);

const plainText = (content: string): string =>
  content
    .replaceAll('ﬁ', 'fi')
    .replaceAll('ﬂ', 'fl')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&apos;', "'")
    .replaceAll('&#39;', "'")
    .replaceAll('&amp;', '&')
    .trim();

function matrixOf(transform: string): ChartText['matrix'] {
  const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = (/\(([^)]*)\)/.exec(transform)?.[1] ?? '').split(' ').map(Number);
  return transform.startsWith('matrix') ? [a, b, c, d, e, f] : [1, 0, 0, 1, transform === '' ? 0 : a, b];
}
