import type { ResultCell } from '../../certificate/index.js';
import type { PageFacts } from '../facts/page-facts.js';
import { type Html, html } from '../html.js';
import { factGroup, section, table, verdictMark } from './parts.js';

/** The figures by port and stage, how they were come by, and what each port's hold covers. */
export function results({
  say,
  results: { title, columns, rows },
  resultNotes,
  ports,
  remarks,
  remarkLines,
}: PageFacts): Html {
  const head = html`<tr><td></td><td></td>${columns.map(
    ({ port, stage }) => html`<th scope="col">${port}<br><span>${stage}</span></th>`,
  )}</tr>`;
  const last = rows.length - 1;
  const body = rows.map(
    ({ label, unit, strong, cells }, index) =>
      html`<tr class="${strong ? 'strong' : ''}"><th scope="row">${label}</th><td class="unit">${unit}</td>${cells.map(
        (one, at) =>
          index === last && columns[at] ? html`<td>${verdictMark(columns[at].verdict, wordOf(one))}</td>` : cell(one),
      )}</tr>
`,
  );
  return section(
    'results',
    title,
    columns.length === 0 ? html`<p>${say('chart.no-dwell')}</p>` : table(title, head, body, 'figures'),
    html`<div class="small">${resultNotes.map((note) => html`<p>${note}</p>`)}</div>
`,
    html`<div class="columns">${ports.map(({ notes }) => factGroup(notes))}</div>
`,
    html`<h3>${remarks}</h3>
<ul class="remarks">${remarkLines.map((line) => html`<li>${line}</li>`)}</ul>
`,
  );
}

const wordOf = (cell: ResultCell): string => (cell.kind === 'word' ? cell.word : cell.figure);

const cell = (one: ResultCell): Html =>
  one.kind === 'word'
    ? html`<td>${one.word}</td>`
    : html`<td class="figure">${one.figure}${one.plusMinus === '' ? '' : html`<span class="pm"> ± ${one.plusMinus}</span>`}</td>`;
