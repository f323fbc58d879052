import type uPlot from 'uplot';
import type { ChartData, Line } from '../chart/chart-data.js';
import type { ChartTheme } from './chart-theme.js';

const dashes: Readonly<Record<Line['kind'], number[]>> = {
  target: [8, 4],
  allowed: [9, 3, 2, 3],
  overpressure: [14, 4],
};

/** What lies behind the readings: settling and dwell shaded, and the band of each dwell's fit. */
export function paintGround(plot: uPlot, data: ChartData, theme: ChartTheme): void {
  const pen = clipped(plot);
  const { top, height } = plot.bbox;
  const shade = (colour: string, fromS: number, toS: number): void => {
    pen.fillStyle = colour;
    const [left, right] = [x(plot, fromS), x(plot, toS)];
    pen.fillRect(left, top, Math.max(right - left, 1), height);
  };
  for (const { fromS, toS } of data.settling) shade(theme.settling, fromS, toS);
  for (const { fromS, toS } of data.dwells) shade(theme.dwell, fromS, toS);
  for (const { fit } of data.dwells) {
    if (fit.length === 0) continue;
    pen.fillStyle = theme.band;
    pen.beginPath();
    for (const point of fit) pen.lineTo(x(plot, point.s), y(plot, point.y + point.half));
    for (const point of fit.toReversed()) pen.lineTo(x(plot, point.s), y(plot, point.y - point.half));
    pen.fill();
  }
  pen.restore();
}

/** What lies before them: fits, levels to be kept to, events, and whose span it is. */
export function paintOver(plot: uPlot, data: ChartData, theme: ChartTheme): void {
  const pen = clipped(plot);
  const { top, height } = plot.bbox;
  const scale = devicePixelRatio;
  const stroke = (
    colour: string,
    width: number,
    dash: readonly number[],
    points: readonly [number, number][],
  ): void => {
    pen.strokeStyle = colour;
    pen.lineWidth = width * scale;
    pen.setLineDash(dash.map((length) => length * scale));
    pen.beginPath();
    for (const [left, level] of points) pen.lineTo(left, level);
    pen.stroke();
  };
  for (const { kind, fromS, toS, y: level } of data.lines)
    stroke(theme[kind], kind === 'allowed' ? 1.6 : 1.3, dashes[kind], [
      [x(plot, fromS), y(plot, level)],
      [x(plot, toS), y(plot, level)],
    ]);
  for (const { fit } of data.dwells)
    stroke(
      theme.fit,
      2,
      [],
      fit.map(({ s, y: level }) => [x(plot, s), y(plot, level)]),
    );
  const bottom = top + height;
  for (const { s, grade } of data.events)
    stroke(
      grade === 'note' ? theme.quiet : theme.fail,
      grade === 'note' ? 1.4 : 2.4,
      [],
      [
        [x(plot, s), bottom],
        [x(plot, s), bottom - 8 * scale],
      ],
    );
  pen.setLineDash([]);
  pen.textAlign = 'left';
  pen.textBaseline = 'alphabetic';
  pen.font = `600 ${12 * scale}px ${getComputedStyle(plot.root).fontFamily}`;
  for (const { s, text } of data.marks) {
    stroke(
      theme.mark,
      1,
      [3, 3],
      [
        [x(plot, s), top],
        [x(plot, s), bottom],
      ],
    );
    pen.fillStyle = theme.ink;
    pen.fillText(text, x(plot, s) + 4 * scale, top + 30 * scale);
  }
  for (const { label, fromS, toS } of data.spans) {
    const left = Math.max(x(plot, fromS), plot.bbox.left);
    if (x(plot, toS) - left < pen.measureText(label).width + 12 * scale) continue;
    pen.fillStyle = theme.ink;
    pen.fillText(label, left + 6 * scale, top + 14 * scale);
  }
  pen.restore();
}

function clipped(plot: uPlot): CanvasRenderingContext2D {
  const pen = plot.ctx;
  const { left, top, width, height } = plot.bbox;
  pen.save();
  pen.beginPath();
  pen.rect(left, top, width, height);
  pen.clip();
  return pen;
}

const x = (plot: uPlot, s: number): number => plot.valToPos(s, 'x', true);
const y = (plot: uPlot, value: number): number => plot.valToPos(value, 'y', true);
