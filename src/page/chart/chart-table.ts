import type { PageFacts } from '../facts/page-facts.js';
import { clockText } from '../facts/rows.js';
import { type Html, html } from '../html.js';
import { heads, table } from '../sections.js';
import type { ChartData } from './chart-data.js';

const stretches = 24;

/** The trace in figures: lowest and highest of each stretch of time, for whoever can't see the chart. */
export function chartTable({ say, chart }: PageFacts): Html {
  return html`<details class="trace-table"><summary>${say('chart.table')}</summary>
<p class="small">${say('chart.table-note')}</p>
${table(
  say('chart.table'),
  heads(
    say('chart.column.from'),
    say('chart.column.to'),
    `${say('chart.column.lowest')}, ${chart.unit}`,
    `${say('chart.column.highest')}, ${chart.unit}`,
  ),
  rows(chart),
)}</details>
`;
}

function rows({ overview, endS, decimal }: ChartData): Html[] {
  const lowest: number[] = new Array(stretches).fill(Number.POSITIVE_INFINITY);
  const highest: number[] = new Array(stretches).fill(Number.NEGATIVE_INFINITY);
  overview.s.forEach((s, index) => {
    const y = overview.p[index] ?? null;
    if (y === null) return;
    const at = Math.min(stretches - 1, Math.max(0, Math.floor((s / (endS || 1)) * stretches)));
    lowest[at] = Math.min(lowest[at] ?? y, y);
    highest[at] = Math.max(highest[at] ?? y, y);
  });
  const figure = (value = Number.NaN): string =>
    Number.isFinite(value) ? value.toFixed(endDecimals(highest)).replace('-', '−').replace('.', decimal) : '–';
  return lowest.map(
    (low, at) =>
      html`<tr><td class="figure">${clockText((at * endS) / stretches)}</td><td class="figure">${clockText(((at + 1) * endS) / stretches)}</td><td class="figure">${figure(low)}</td><td class="figure">${figure(highest[at])}</td></tr>
`,
  );
}

const endDecimals = (values: readonly number[]): number => {
  const most = Math.max(...values.filter(Number.isFinite), 0);
  return most >= 1000 ? 0 : most >= 50 ? 1 : 2;
};
