import { clockText } from '../facts/rows.js';
import { type Html, html } from '../html.js';
import type { ChartData } from './chart-data.js';

/** The step of a scale: 1, 2 or 5 times a power of ten, at least so large. @example niceStep(37) // 50 */
export function niceStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least > 0 ? least : 1));
  return power * ([1, 2, 5].find((step) => step * power >= least * (1 - 1e-9)) ?? 10);
}

/** Steps of a clock that a person counts in, seconds. */
export const clockSteps = [
  0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10_800, 21_600,
  43_200, 86_400,
];

/** The first step of a clock that is at least so large. @example clockStep(200) // 300 */
export const clockStep = (leastS: number): number => clockSteps.find((step) => step >= leastS) ?? 86_400;

/** Every multiple of the step between two values. */
export function ticks(low: number, high: number, step: number): number[] {
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: Math.max(0, Math.min(last - first + 1, 100)) }, (_, index) => (first + index) * step);
}

const [width, height] = [960, 340];
const edge = { left: 58, right: 10, top: 26, bottom: 26 } as const;

/** The whole test as a drawing: before any script runs, without scripts, and on paper. Colours are the style's. */
export function chartSvg(chart: ChartData, label: string): Html {
  const [low, high] = rangeOf(chart);
  const x = (s: number): number => round(edge.left + (s / (chart.endS || 1)) * (width - edge.left - edge.right));
  const y = (value: number): number =>
    round(height - edge.bottom - ((value - low) / (high - low)) * (height - edge.top - edge.bottom));
  const bottom = height - edge.bottom;
  const shade =
    (kind: string) =>
    ({ fromS, toS }: { fromS: number; toS: number }): Html =>
      html`<rect class="${kind}" x="${x(fromS)}" y="${edge.top}" width="${round(x(toS) - x(fromS))}" height="${bottom - edge.top}"/>`;
  const path = (values: readonly (number | null)[]): string => pathOf(chart.overview.s.map(x), values, y);
  const stepY = niceStep((high - low) / 5);
  const stepX = clockStep(chart.endS / 8);
  return html`<svg class="trace" viewBox="0 0 ${width} ${height}" role="img" aria-label="${label}">
${chart.settling.map(shade('settling'))}${chart.dwells.map(shade('dwell'))}
${ticks(low, high, stepY).map(
  (value) =>
    html`<path class="grid" d="M${edge.left} ${y(value)}H${width - edge.right}"/><text class="tick" x="${edge.left - 6}" y="${y(value) + 4}" text-anchor="end">${figure(value, stepY, chart.decimal)}</text>
`,
)}${ticks(0, chart.endS, stepX).map(
  (s) =>
    html`<path class="grid" d="M${x(s)} ${edge.top}V${bottom}"/><text class="tick" x="${x(s)}" y="${bottom + 17}" text-anchor="middle">${clockText(s)}</text>
`,
)}<text class="tick" x="${edge.left - 6}" y="${edge.top - 12}" text-anchor="end">${chart.unit}</text>
${chart.spans.map(({ label: name, fromS }) => html`<path class="span" d="M${x(fromS)} ${edge.top - 18}V${bottom}"/><text class="name" x="${x(fromS) + 4}" y="${edge.top - 9}">${name}</text>`)}
${chart.lines.map(({ kind, y: value, fromS, toS }) => html`<path class="${kind}" d="M${x(fromS)} ${y(value)}H${x(toS)}"/>`)}
${chart.overview.o === null ? null : html`<path class="opposite" d="${path(chart.overview.o)}"/>`}
<path class="pressure" d="${path(chart.overview.p)}"/>
${chart.events.map(({ s, grade }) => html`<path class="event ${grade}" d="M${x(s)} ${bottom}v-7"/>`)}
${chart.marks.map(({ s, text }) => html`<path class="mark" d="M${x(s)} ${edge.top}V${bottom}"/><text class="name" x="${x(s) + 3}" y="${edge.top + 12}">${text}</text>`)}
</svg>
`;
}

/** From a little below zero to a little above the highest line. */
export function rangeOf({ overview, lines }: Pick<ChartData, 'overview' | 'lines'>): [number, number] {
  let [low, high] = [0, 0];
  for (const values of [overview.p, overview.o ?? [], lines.map(({ y }) => y)])
    for (const value of values) {
      if (value === null) continue;
      if (value < low) low = value;
      if (value > high) high = value;
    }
  const top = 1.05 * high || 1;
  return [Math.min(low, -0.03 * top), top];
}

const round = (value: number): number => Math.round(value * 10) / 10;

function pathOf(xs: readonly number[], values: readonly (number | null)[], y: (value: number) => number): string {
  let text = '';
  let pen = 'M';
  xs.forEach((at, index) => {
    const value = values[index] ?? null;
    if (value === null) pen = 'M';
    else {
      text += `${pen}${at} ${y(value)}`;
      pen = 'L';
    }
  });
  return text;
}

const figure = (value: number, step: number, decimal: string): string =>
  value
    .toFixed(Math.max(0, Math.ceil(-Math.log10(step) - 1e-9)))
    .replace('-', '−')
    .replace('.', decimal);
