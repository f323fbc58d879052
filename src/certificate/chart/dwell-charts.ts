import { shownUnit, valueIn } from '../../units/index.js';
import { columnsPerPx, common, lineOf, type PressureChart, usPerMin } from './chart-frame.js';
import { type ChartGround, groundPlugin } from './chart-ground.js';
import { chartStyle } from './chart-style.js';
import { fitLine } from './fit-line.js';
import { type ChartPoint, thinOut } from './thin-out.js';
import type { Hold, TraceStory } from './trace-story.js';

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
