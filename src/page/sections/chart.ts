import { chartSvg } from '../chart/chart-svg.js';
import { chartTable } from '../chart/chart-table.js';
import type { PageFacts } from '../facts/page-facts.js';
import { type Html, html } from '../html.js';
import { section } from './parts.js';

/** The chart: drawn, with its key, and told in words and figures. The script makes it one to zoom into. */
export const chart = (facts: PageFacts): Html =>
  section(
    'chart',
    facts.say('chart.title'),
    html`<div class="chart"><div id="chart-live" hidden></div>
<figure id="chart-still">${chartSvg(facts.chart, facts.chartText)}</figure>
${key(facts)}</div>
<p class="small" id="chart-text">${facts.chartText}</p>
`,
    chartTable(facts),
  );

/** What each line and shade means. */
function key({ chart: { words, lines, dwells, settling, overview, events }, say }: PageFacts): Html {
  const drawn = new Set(lines.map(({ kind }) => kind));
  const line = (kind: string, text: string): Html =>
    html`<li><svg viewBox="0 0 26 10" aria-hidden="true" focusable="false"><path class="${kind}" d="M0 5H26"/></svg>${text}</li>`;
  const patch = (kind: string, text: string): Html =>
    html`<li><svg viewBox="0 0 26 10" aria-hidden="true" focusable="false"><rect class="${kind}" width="26" height="10"/></svg>${text}</li>`;
  return html`<ul class="key">${[
    line('pressure', words.pressure),
    overview.o === null ? null : line('opposite', words.opposite),
    drawn.has('target') ? line('target', words.target) : null,
    drawn.has('allowed') ? line('allowed', words.allowed) : null,
    drawn.has('overpressure') ? line('overpressure', words.overpressure) : null,
    dwells.some(({ fit }) => fit.length > 0) ? [line('fit', words.fit), patch('band', words.band)] : null,
    settling.length > 0 ? patch('settling', words.stabilise) : null,
    dwells.length > 0 ? patch('dwell', words.dwell) : null,
    events.length > 0
      ? html`<li><svg viewBox="0 0 26 10" aria-hidden="true" focusable="false"><path class="event note" d="M13 10V1"/></svg>${say('chart.event')}</li>`
      : null,
  ]}</ul>
`;
}
