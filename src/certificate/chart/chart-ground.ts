import type { Chart, Plugin } from 'chart.js';
import { chartStyle } from './chart-style.js';

/** What lies behind and above the lines of a chart, in chart x units. */
export interface ChartGround {
  readonly shades: readonly { readonly from: number; readonly to: number; readonly colour: string }[];
  /** Names over a stretch of the x axis, above the plot, with a rule beneath. */
  readonly spans: readonly { readonly from: number; readonly to: number; readonly label: string }[];
  /** Events: a rule through the plot and a word at its top. */
  readonly marks: readonly { readonly x: number; readonly text: string }[];
  /** A text at the left end of the line above the plot. */
  readonly caption: string;
  /** Its baseline, from the top. */
  readonly captionAt: number;
  /** Height of the words of the marks above the plot's lower edge, as a part of its height. */
  readonly marksAt: number;
  /** A word under a height, at the left end of the plot. */
  readonly notes: readonly { readonly y: number; readonly text: string; readonly colour: string }[];
}

/** Draws the ground: shaded phases under the lines, names and events over them. */
export function groundPlugin(ground: ChartGround): Plugin<'line'> {
  return {
    id: 'ground',
    beforeDraw: (chart) => drawShades(chart, ground),
    afterDatasetsDraw: (chart) => {
      write(chart.ctx, ground.caption, 1, ground.captionAt, 'left', chartStyle.quiet);
      drawSpans(chart, ground);
      drawMarks(chart, ground);
      drawNotes(chart, ground);
    },
  };
}

function drawShades({ ctx, chartArea, scales }: Chart, { shades }: ChartGround): void {
  const x = scales.x;
  if (x === undefined) return;
  for (const { from, to, colour } of shades) {
    const left = Math.max(chartArea.left, x.getPixelForValue(from));
    const right = Math.min(chartArea.right, x.getPixelForValue(to));
    ctx.fillStyle = colour;
    ctx.fillRect(left, chartArea.top, right - left, chartArea.height);
  }
}

function drawSpans({ ctx, chartArea, scales }: Chart, { spans }: ChartGround): void {
  const x = scales.x;
  if (x === undefined) return;
  for (const { from, to, label } of spans) {
    const left = x.getPixelForValue(from);
    const right = x.getPixelForValue(to);
    line(ctx, left + 1, chartArea.top - 2.5, right - 1, chartArea.top - 2.5, 0.7, chartStyle.ink);
    write(ctx, label, (left + right) / 2, chartArea.top - 4.5, 'center', chartStyle.ink);
  }
}

/** Words of events that stand close together go one below the other. */
function drawMarks({ ctx, chartArea, scales }: Chart, { marks, marksAt }: ChartGround): void {
  const x = scales.x;
  if (x === undefined) return;
  const taken: number[] = [];
  for (const { x: at, text } of marks) {
    const pixel = x.getPixelForValue(at);
    const width = text.length * chartStyle.fontSize * 0.52 + 4;
    const leftward = pixel + width > chartArea.right;
    const left = leftward ? pixel - width : pixel;
    let row = taken.findIndex((until) => until < left);
    if (row < 0) row = taken.length;
    taken[row] = left + width;
    line(ctx, pixel, chartArea.top, pixel, chartArea.bottom, 0.5, chartStyle.quiet);
    const baseline = chartArea.bottom - 3 - marksAt * chartArea.height - row * (chartStyle.fontSize + 1);
    write(ctx, text, leftward ? pixel - 2 : pixel + 2, baseline, leftward ? 'right' : 'left', chartStyle.ink);
  }
}

function drawNotes({ ctx, chartArea, scales }: Chart, { notes }: ChartGround): void {
  const y = scales.y;
  if (y === undefined) return;
  for (const { y: at, text, colour } of notes)
    write(ctx, text, chartArea.left + 3, y.getPixelForValue(at) + chartStyle.fontSize + 1, 'left', colour);
}

/** The part of a 2D drawing context that is used here; the project compiles without a browser's types. */
interface Pen {
  font: string;
  fillStyle: unknown;
  strokeStyle: unknown;
  lineWidth: number;
  textAlign: string;
  textBaseline: string;
  beginPath(): void;
  setLineDash(segments: number[]): void;
  moveTo(x: number, y: number): void;
  lineTo(x: number, y: number): void;
  stroke(): void;
  fillText(text: string, x: number, y: number): void;
}

function line(pen: Pen, x1: number, y1: number, x2: number, y2: number, width: number, colour: string): void {
  pen.beginPath();
  pen.setLineDash([]);
  pen.lineWidth = width;
  pen.strokeStyle = colour;
  pen.moveTo(x1, y1);
  pen.lineTo(x2, y2);
  pen.stroke();
}

function write(pen: Pen, text: string, x: number, y: number, align: 'left' | 'center' | 'right', colour: string): void {
  pen.font = `${chartStyle.fontSize}px "${chartStyle.font}"`;
  pen.fillStyle = colour;
  pen.textAlign = align;
  pen.textBaseline = 'alphabetic';
  pen.fillText(text, x, y);
}
