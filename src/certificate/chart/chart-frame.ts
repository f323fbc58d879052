import type { Chart, ChartConfiguration, ChartDataset, LegendItem } from 'chart.js';
import { shownUnit } from '../../units/index.js';
import { chartStyle } from './chart-style.js';
import type { ChartPoint } from './thin-out.js';
import type { TraceStory } from './trace-story.js';

export type PressureChart = ChartConfiguration<'line', ChartPoint[]>;
export type Line = ChartDataset<'line', ChartPoint[]>;
export const usPerMin = 6e7;
/** Two readings, the lowest and the highest, are drawn for each column. */
export const columnsPerPx = 0.6;

type Style = { readonly colour: string; readonly width: number; readonly dash: readonly number[] };

/** Unclipped: the scales are made to hold every reading and limit, and a clipped line takes twice as long to set. */
export function lineOf(label: string, data: ChartPoint[], style: Style): Line {
  return {
    label,
    data,
    borderColor: style.colour,
    borderWidth: style.width,
    borderDash: [...style.dash],
    pointRadius: 0,
    tension: 0,
    spanGaps: false,
    clip: false,
  };
}

/** Axes, grid and legend that every pressure chart has; time in minutes from 0 to `endMin`. */
export function common(story: TraceStory, endMin: number, shades: readonly Shade[] = []) {
  const font = { family: chartStyle.font, size: chartStyle.fontSize };
  const ticksOf = (unit: string) => ({
    font,
    color: chartStyle.quiet,
    maxRotation: 0,
    includeBounds: false,
    padding: 2,
    callback: (value: number | string, _index: number, all: readonly { value: number }[]): string =>
      unit.replace('{value}', tickText(Number(value), all, story.decimal)),
  });
  const title = (text: string) => ({ display: true, text, font, color: chartStyle.quiet, padding: 1 });
  const grid = { color: chartStyle.hairline, lineWidth: 0.4, tickLength: 2.5 };
  return {
    responsive: false as const,
    animation: false as const,
    devicePixelRatio: 1,
    parsing: false as const,
    normalized: true,
    events: [],
    scales: {
      x: {
        type: 'linear' as const,
        min: 0,
        max: endMin,
        ticks: ticksOf(story.words.minutes),
        grid,
        border: { width: 0.6 },
      },
      y: {
        type: 'linear' as const,
        beginAtZero: true,
        ticks: { ...ticksOf('{value}'), maxTicksLimit: 6 },
        grid,
        title: title(shownUnit(story.unit)),
        border: { width: 0.6 },
      },
    },
    plugins: {
      title: { display: true, text: ' ', font: { ...font, size: 1 }, padding: { top: 0, bottom: 9 } },
      legend: {
        display: true,
        weight: 3000,
        position: 'top' as const,
        align: 'end' as const,
        labels: {
          font,
          color: chartStyle.ink,
          usePointStyle: true,
          pointStyleWidth: 15,
          boxHeight: 5,
          padding: 5,
          generateLabels: (chart: Chart) => legendItems(chart, shades),
        },
      },
      tooltip: { enabled: false },
    },
  };
}

/** What a shade means, for the legend. */
interface Shade {
  readonly text: string;
  readonly colour: string;
}

/** The legend shows each line with its own dashes, and each shade as a patch. */
function legendItems(chart: Chart, shades: readonly Shade[]): LegendItem[] {
  const lines = chart.data.datasets.flatMap((dataset, datasetIndex) =>
    dataset.label === undefined || dataset.label === ''
      ? []
      : [
          {
            text: dataset.label,
            datasetIndex,
            fontColor: chartStyle.ink,
            strokeStyle: dataset.borderColor as string,
            lineWidth: dataset.borderWidth as number,
            lineDash: (dataset as Line).borderDash as number[],
            pointStyle: 'line' as const,
          },
        ],
  );
  const patches = shades.map(
    ({ text, colour }): LegendItem => ({
      text,
      fontColor: chartStyle.ink,
      fillStyle: colour,
      strokeStyle: chartStyle.quiet,
      lineWidth: 0.3,
      lineDash: [],
      pointStyle: 'rect',
    }),
  );
  return [...lines, ...patches];
}

/** As many decimals as the step between two marks needs. */
function tickText(value: number, all: readonly { readonly value: number }[], decimal: string): string {
  const step = Math.abs((all[1]?.value ?? 1) - (all[0]?.value ?? 0)) || 1;
  const decimals = Math.max(0, Math.min(6, Math.ceil(-Math.log10(step) - 1e-9)));
  return value.toFixed(decimals).replace('-', '−').replace('.', decimal);
}
