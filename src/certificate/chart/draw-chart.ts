import type { ChartConfiguration } from 'chart.js';
import { ChartJSNodeCanvas } from 'chartjs-node-canvas';
import type { PressureChart } from './chart-frame.js';
import type { ChartText, TypeMeasure } from './vector-drawing.js';
import { VectorPen } from './vector-pen.js';

/** A chart as vectors: lines and areas as operators of a PDF page, its texts apart, in points from its upper left corner. */
export interface DrawnChart {
  readonly operators: string;
  readonly texts: readonly ChartText[];
}

/** The chart library as `chartjs-node-canvas` sets it up for a program without a screen, drawing vectors. */
class VectorCharts extends ChartJSNodeCanvas {
  draw(chart: PressureChart, width: number, height: number, type: TypeMeasure): DrawnChart {
    const canvas = { width, height, style: {}, getContext: () => pen };
    const pen = new VectorPen(canvas, type);
    const drawn = new this._chartJs(pen as never, chart as unknown as ChartConfiguration);
    drawn.destroy();
    return { operators: pen.operators, texts: pen.texts };
  }
}

let charts: VectorCharts | undefined;

/** Draws a chart; sizes in points. The library is set up once for all charts. */
export function drawChart(chart: PressureChart, width: number, height: number, type: TypeMeasure): DrawnChart {
  charts ??= new VectorCharts({ width, height, type: 'svg' });
  return charts.draw(chart, width, height, type);
}
