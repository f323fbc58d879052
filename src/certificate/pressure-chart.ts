import type { Chart, ChartConfiguration, ChartDataset, LegendItem } from 'chart.js';
import { shownUnit, valueIn } from '../units/index.js';
import { type ChartGround, groundPlugin } from './chart/chart-ground.js';
import { chartStyle } from './chart/chart-style.js';
import { fitLine } from './chart/fit-line.js';
import { type ChartPoint, thinOut } from './chart/thin-out.js';
import type { Hold, TraceStory } from './chart/trace-story.js';

export type PressureChart = ChartConfiguration<'line', ChartPoint[]>;
type Line = ChartDataset<'line', ChartPoint[]>;
type Style = { readonly colour: string; readonly width: number; readonly dash: readonly number[] };

const usPerMin = 6e7;
/** Two readings, the lowest and the highest, are drawn for each column. */
const columnsPerPx = 0.6;

/**
 * The whole test from zero to zero: every port and attempt in one scale, phases shaded, target, allowed decay and
 * overpressure as lines, gaps as gaps, events marked, the serials on the chart itself. The one place where this
 * chart is made, for the PDF and for a browser.
 * @param widthPx width it will be drawn at: the readings are thinned to that.
 */
export function traceChart(story: TraceStory, widthPx: number): PressureChart {
  const { trace, words } = story;
  const startUs = trace.timeUs[0] ?? 0;
  const endUs = trace.timeUs.at(-1) ?? 0;
  const x = (us: number): number => (us - startUs) / usPerMin;
  const y = (pa: number): number => valueIn(pa, 'pressure', story.unit);
  const holds = story.spans.flatMap((span) => span.holds);
  const flat = (pa: number | null, fromUs: number, toUs: number): ChartPoint[] =>
    pa === null || Number.isNaN(pa)
      ? []
      : [
          { x: x(fromUs), y: y(pa) },
          { x: x(toUs), y: y(pa) },
          { x: x(toUs), y: Number.NaN },
        ];
  const thinned = (values: Float64Array): ChartPoint[] =>
    thinOut(trace.timeUs, values, startUs, endUs, Math.round(widthPx * columnsPerPx), x, y);
  const options = common(story, x(endUs), [
    { text: words.stabilise, colour: chartStyle.settling },
    { text: words.dwell, colour: chartStyle.dwell },
  ]);
  const datasets = [
    lineOf(words.pressure, thinned(trace.pressurePa), chartStyle.pressure),
    ...(trace.oppositePa === null ? [] : [lineOf(words.opposite, thinned(trace.oppositePa), chartStyle.opposite)]),
    lineOf(
      words.target,
      holds.flatMap((hold) => flat(hold.targetPa, hold.fromUs, hold.toUs)),
      chartStyle.target,
    ),
    lineOf(
      words.allowed,
      holds.flatMap((hold) => flat(hold.limitPa, hold.fromUs, hold.toUs)),
      chartStyle.limit,
    ),
    lineOf(
      words.overpressure,
      story.spans.flatMap((span) => flat(span.overpressurePa, span.fromUs, span.toUs)),
      chartStyle.overpressure,
    ),
  ];
  return {
    type: 'line',
    data: { datasets },
    options: {
      ...options,
      layout: { padding: { top: captionBesideLegend(words.serials, widthPx) ? 0 : chartStyle.fontSize + 3, right: 4 } },
      scales: { ...options.scales, y: { ...options.scales.y, ...rangeOf(datasets) } },
    },
    plugins: [
      groundPlugin({
        shades: [
          ...story.spans.flatMap((span) =>
            span.settling.map(({ fromUs, toUs }) => ({ from: x(fromUs), to: x(toUs), colour: chartStyle.settling })),
          ),
          ...holds.map(({ fromUs, toUs }) => ({ from: x(fromUs), to: x(toUs), colour: chartStyle.dwell })),
        ],
        spans: story.spans.map(({ fromUs, toUs, label }) => ({ from: x(fromUs), to: x(toUs), label })),
        marks: story.marks.map(({ timeUs, text }) => ({ x: x(timeUs), text })),
        notes: [],
        caption: words.serials,
        captionAt: captionBesideLegend(words.serials, widthPx) ? 1.6 * chartStyle.fontSize : chartStyle.fontSize + 1,
        marksAt: 0.3,
      }),
    ],
  };
}

/** A short caption stands in the line of the legend, a long one above it. */
const captionBesideLegend = (caption: string, widthPx: number): boolean =>
  caption.length * chartStyle.fontSize * 0.5 < widthPx * 0.28;

/** From a little below zero to a little above the highest line. */
function rangeOf(lines: readonly Line[]): { readonly min: number; readonly max: number } {
  let [lowest, highest] = [0, 0];
  for (const line of lines)
    for (const { y } of line.data) {
      if (y < lowest) lowest = y;
      if (y > highest) highest = y;
    }
  return { min: Math.min(lowest, -0.03 * highest), max: 1.05 * highest || 1 };
}

/** A dwell enlarged. */
export interface DwellChart {
  readonly label: string;
  readonly chart: PressureChart;
}

/**
 * Each dwell enlarged: its readings, the fit with its 95 % band, and the limit. Holds of the same stage share one
 * scale, so that ports A and B can be compared by eye.
 * @param legend `none` when the charts stand close together and one legend serves them all.
 */
export function dwellCharts(
  story: TraceStory,
  widthPx: number,
  legend: 'each' | 'none' = 'each',
): readonly DwellChart[] {
  const views = story.spans.flatMap((span) => span.holds).map((hold) => viewOf(hold, story, widthPx));
  return views.map((view) => {
    const spread = Math.max(...views.filter((other) => other.hold.stage === view.hold.stage).map(heightOf));
    const top = view.top + 0.08 * spread;
    const range = { max: top, min: top - 1.5 * spread };
    return { label: view.hold.label, chart: dwellChart(view, story, range, legend === 'each') };
  });
}

interface DwellView {
  readonly hold: Hold;
  readonly readings: ChartPoint[];
  readonly fit: ChartPoint[];
  readonly upper: ChartPoint[];
  readonly lower: ChartPoint[];
  readonly limit: number | null;
  readonly top: number;
  readonly bottom: number;
}

const heightOf = (view: DwellView): number => view.top - view.bottom;

function viewOf(hold: Hold, story: TraceStory, widthPx: number): DwellView {
  const x = (us: number): number => (us - hold.fromUs) / usPerMin;
  const y = (pa: number): number => valueIn(pa, 'pressure', story.unit);
  const { timeUs, pressurePa } = story.trace;
  const readings = thinOut(timeUs, pressurePa, hold.fromUs, hold.toUs, Math.round(widthPx * columnsPerPx), x, y);
  const level = readings.filter((point) => !Number.isNaN(point.y)).map((point) => point.y);
  const limit = hold.limitPa === null ? null : y(hold.limitPa);
  const fit = fitLine(story.trace, hold);
  const along = (side: number): ChartPoint[] =>
    fit.map(({ timeUs: us, pa, halfWidthPa }) => ({ x: x(us), y: y(pa + side * halfWidthPa) }));
  return {
    hold,
    readings,
    fit: along(0),
    upper: along(1),
    lower: along(-1),
    limit,
    top: Math.max(...level, limit ?? Number.NEGATIVE_INFINITY),
    bottom: Math.min(...level, limit ?? Number.POSITIVE_INFINITY),
  };
}

function dwellChart(
  view: DwellView,
  story: TraceStory,
  range: { readonly min: number; readonly max: number },
  legend: boolean,
): PressureChart {
  const { words } = story;
  const end = (view.hold.toUs - view.hold.fromUs) / usPerMin;
  const options = common(story, end);
  const limitLine =
    view.limit === null
      ? []
      : [
          { x: 0, y: view.limit },
          { x: end, y: view.limit },
        ];
  const ground: ChartGround = {
    shades: [{ from: 0, to: end, colour: chartStyle.dwell }],
    spans: [{ from: 0, to: end, label: view.hold.label }],
    marks: story.marks
      .filter(({ timeUs }) => timeUs >= view.hold.fromUs && timeUs <= view.hold.toUs)
      .map(({ timeUs, text }) => ({ x: (timeUs - view.hold.fromUs) / usPerMin, text })),
    notes:
      view.limit === null
        ? []
        : [{ y: view.bottom, text: limitText(view.limit, story), colour: chartStyle.limit.colour }],
    caption: '',
    captionAt: 0,
    marksAt: 0.3,
  };
  return {
    type: 'line',
    data: {
      datasets: [
        lineOf(words.readings, view.readings, chartStyle.readings),
        { ...lineOf(words.fit, view.fit, chartStyle.fit), clip: 0 },
        { ...lineOf(words.band, view.upper, chartStyle.band), clip: 0 },
        { ...lineOf('', view.lower, chartStyle.band), clip: 0 },
        lineOf('', limitLine, chartStyle.limit),
      ],
    },
    options: {
      ...options,
      layout: { padding: { top: 0, right: 4 } },
      plugins: { ...options.plugins, legend: { ...options.plugins.legend, display: legend } },
      scales: { ...options.scales, y: { ...options.scales.y, min: range.min, max: range.max, beginAtZero: false } },
    },
    plugins: [groundPlugin(ground)],
  };
}

const limitText = (limit: number | null, { words, unit, decimal }: TraceStory): string =>
  limit === null
    ? ''
    : words.limit.replace(
        '{value}',
        `${limit.toFixed(unit === 'psi' ? 0 : 1).replace('.', decimal)} ${shownUnit(unit)}`,
      );

/** Unclipped: the scales are made to hold every reading and limit, and a clipped line takes twice as long to set. */
function lineOf(label: string, data: ChartPoint[], style: Style): Line {
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

function common(story: TraceStory, endMin: number, shades: readonly Shade[] = []) {
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
