import { valueIn } from '../../units/index.js';
import { columnsPerPx, common, type Line, lineOf, type PressureChart, usPerMin } from './chart-frame.js';
import { groundPlugin } from './chart-ground.js';
import { chartStyle } from './chart-style.js';
import { type ChartPoint, thinOut } from './thin-out.js';
import type { TraceStory } from './trace-story.js';

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
  const legend = [...datasets.map(({ label = '' }) => label), words.stabilise, words.dwell];
  const beside = fitsBeside(words.serials, legend, widthPx);
  return {
    type: 'line',
    data: { datasets },
    options: {
      ...options,
      layout: { padding: { top: beside ? 0 : chartStyle.fontSize + 3, right: 4 } },
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
        captionAt: beside ? 1.6 * chartStyle.fontSize : chartStyle.fontSize + 1,
        marksAt: 0.3,
      }),
    ],
  };
}

/** A caption stands in the line of the legend where both fit, else above it: a letter is half as wide as high. */
function fitsBeside(caption: string, legend: readonly string[], widthPx: number): boolean {
  const letters = legend.reduce((sum, text) => sum + text.length, caption.length);
  return letters * chartStyle.fontSize * 0.5 + legend.length * legendMarkPx < widthPx;
}

/** A mark of the legend with the room around it, px. */
const legendMarkPx = 26;

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
