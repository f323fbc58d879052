import type { Fact, FactGroup, ResultCell } from '../certificate/index.js';
import type { Verdict } from '../evaluation/index.js';
import { chartSvg } from './chart/chart-svg.js';
import { chartTable } from './chart/chart-table.js';
import type { PageFacts } from './facts/page-facts.js';
import type { BudgetRow } from './facts/rows.js';
import { type Html, type HtmlValue, html } from './html.js';

/** A section of the page with its heading; the heading names it for everyone. */
export const section = (id: string, title: string, ...content: readonly HtmlValue[]): Html =>
  html`<section id="${id}" aria-labelledby="${id}-title"><h2 id="${id}-title">${title}</h2>
${content}</section>
`;

/** Labels with their values. */
export const factList = (facts: readonly Fact[]): Html =>
  html`<dl class="facts">${facts.map(({ label, value }) => html`<div><dt>${label}</dt><dd>${value}</dd></div>`)}</dl>
`;

export const factGroup = ({ title, facts }: FactGroup): Html =>
  html`<div class="group"><h3>${title}</h3>
${factList(facts)}</div>
`;

/** A table that scrolls by itself when the page is narrow: named by its caption, to be reached with the keyboard. */
export const table = (caption: string, head: HtmlValue, body: HtmlValue, kind = ''): Html =>
  html`<div class="scroll ${kind}" role="region" aria-label="${caption}" tabindex="0"><table><caption>${caption}</caption>
<thead>${head}</thead>
<tbody>${body}</tbody></table></div>
`;

export const heads = (...texts: readonly string[]): Html =>
  html`<tr>${texts.map((text) => html`<th scope="col">${text}</th>`)}</tr>`;

const shapes: Readonly<Record<Verdict, string>> = {
  pass: 'M5 12.5l4.5 4.5L19 7.5',
  fail: 'M6.5 6.5l11 11m0-11l-11 11',
  inconclusive: 'M8.5 9.2a3.6 3.6 0 1 1 5.2 3.2c-1 .6-1.7 1.1-1.7 2.3m0 3.1v.3',
  invalid: 'M6 18L18 6M12 4a8 8 0 1 0 0 16 8 8 0 0 0 0-16',
};

/** A verdict by shape, colour and word: none of the three is needed to read it. */
export const verdictMark = (verdict: Verdict, word: string): Html =>
  html`<span class="verdict ${verdict}"><svg viewBox="0 0 24 24" aria-hidden="true" focusable="false"><path d="${shapes[verdict]}"/></svg>${word}</span>`;

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

/** Where a reader has the record checked; the script fills in what it finds. */
export const check = ({ say }: PageFacts): Html =>
  section(
    'check',
    say('check.title'),
    html`<p>${say('check.intro')}</p>
<p class="notice" id="check-still">${say('check.no-script')}</p>
<div id="check-live" hidden><p><button type="button" class="main" id="check-button">${say('check.button')}</button> <progress id="check-progress" max="1" value="0" aria-label="${say('check.running')}" hidden></progress></p>
<div id="check-result" role="status" aria-live="polite"></div>
<form id="compare" hidden><h3>${say('check.compare')}</h3>
<p><label for="compare-head">${say('check.compare-label')}</label> <input id="compare-head" type="text" autocomplete="off" spellcheck="false" size="48"> <button type="submit">${say('check.compare-button')}</button></p>
<p id="compare-result" role="status" aria-live="polite"></p></form></div>
<details open><summary>${say('check.limits')}</summary><ul>
<li>${say('check.limit-keys')}</li>
<li>${say('check.limit-end')}</li>
<li>${say('check.limit-program')}</li>
<li>${say('check.limit-truth')}</li></ul></details>
`,
  );

/** The phases one after another. */
export const phases = ({ say, phases: rows }: PageFacts): Html =>
  section(
    'phases',
    say('phases.title'),
    rows.length === 0
      ? html`<p>${say('phases.empty')}</p>`
      : table(
          say('phases.caption'),
          heads(
            say('phases.port'),
            say('phases.attempt'),
            say('phases.stage'),
            say('phases.phase'),
            say('phases.from'),
            say('phases.lasted'),
            say('phases.pressure'),
          ),
          rows.map(
            (row) =>
              html`<tr><td>${row.port}</td><td>${row.attempt}</td><td>${row.stage}</td><th scope="row">${row.phase}</th><td class="figure">${row.from}</td><td class="figure">${row.lasted}</td><td class="figure">${row.pressure}</td></tr>
`,
          ),
        ),
  );

/** Everything that happened. */
export const events = ({ say, events: rows }: PageFacts): Html =>
  section(
    'events',
    say('events.title'),
    rows.length === 0
      ? html`<p>${say('events.empty')}</p>`
      : table(
          say('events.caption'),
          heads(say('events.time'), say('events.where'), say('events.grade'), say('events.text')),
          rows.map(
            ({ time, where, grade, gradeWord, text }) =>
              html`<tr class="grade-${grade}"><td class="figure">${time}</td><td>${where}</td><td>${gradeWord}</td><td class="wide">${text}</td></tr>
`,
          ),
        ),
  );

/** With what the pressure was read, and how far that is known. */
export const gauge = ({ gauge: { title, facts } }: PageFacts): Html => section('gauge', title, factList(facts));

/** Who put a name to the record. */
export const signatures = ({ say, signatures: { title, rows, none } }: PageFacts): Html =>
  section(
    'signatures',
    title,
    rows.length === 0
      ? html`<p>${none}</p>`
      : html`${table(
          say('signatures.caption'),
          heads(
            say('signatures.meaning'),
            say('signatures.who'),
            say('signatures.when'),
            say('signatures.key'),
            say('signatures.remark'),
          ),
          rows.map(
            ({ meaning, name, standing, when, key, authority, remark }) =>
              html`<tr><td>${meaning}</td><th scope="row">${name}<br><span>${standing}</span></th><td>${when}</td><td><code>${key}</code><br><span>${authority}</span></td><td class="wide">${remark}</td></tr>
`,
          ),
        )}<p class="small">${say('signatures.note')}</p>
`,
  );

/** By what the record is known. */
export const recordSection = ({ say, record: { title, facts }, inputs }: PageFacts): Html =>
  section(
    'record',
    title,
    html`<div class="hashes">${factList(facts)}</div>
`,
    html`<details><summary>${say('record.inputs')}</summary>
<h3>${say('record.job')}</h3>
<pre tabindex="0">${leadingBreak(inputs.job)}</pre>
<h3>${say('record.procedure')}</h3>
<pre tabindex="0">${leadingBreak(inputs.procedure)}</pre></details>
`,
  );

/** A browser swallows a line break right after `<pre>`; another one saves it. */
const leadingBreak = (text: string): string => (text.startsWith('\n') ? `\n${text}` : text);

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

/** What the page is, and what was found. */
export const masthead = ({ shop, title, subject, notices, item }: PageFacts): Html =>
  html`<header class="masthead"><p class="shop"><strong>${shop.name}</strong><span>${shop.address}</span></p>
<h1>${title}</h1>
<p class="subject">${subject}${item[0]?.facts[0] === undefined ? '' : `, ${item[0].facts[0].label} ${item[0].facts[0].value}`}</p>
${notices.map((notice) => html`<p class="notice">${notice}</p>`)}</header>
`;

export const summary = ({ say, verdict, ports, item }: PageFacts): Html =>
  section(
    'summary',
    say('summary.title'),
    html`<div class="finding ${verdict.verdict}"><p class="word">${verdictMark(verdict.verdict, verdict.word)}</p>
<p class="sentence">${verdict.sentence}</p>
<ul class="ports">${ports.map(
      ({ label, verdict: own, word, reason }) =>
        html`<li>${verdictMark(own, word)} <strong>${label}</strong><span>${reason}</span></li>`,
    )}</ul></div>
`,
    html`<div class="columns">${item.map(factGroup)}</div>
`,
  );

/** The budgets of uncertainty, each line with its share of the variance as a bar. */
export const uncertainty = ({ say, budgets }: PageFacts): Html =>
  section(
    'uncertainty',
    say('budget.title'),
    budgets.length === 0
      ? html`<p>${say('budget.empty')}</p>`
      : html`<p>${say('budget.intro')}</p>
${budgets.map(({ caption, lines, expanded }) => [
  table(
    caption,
    heads(
      say('budget.line'),
      say('budget.u'),
      say('budget.share'),
      say('budget.dof'),
      say('budget.distribution'),
      say('budget.basis'),
    ),
    lines.map(budgetRow),
  ),
  expanded === null
    ? null
    : html`<p class="expanded">${expanded}</p>
`,
])}`,
  );

const budgetRow = ({ name, u, share, shareText, degreesOfFreedom, distribution, basis }: BudgetRow): Html =>
  html`<tr><th scope="row">${name}</th><td class="figure">${u}</td><td class="share"><svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true" focusable="false"><rect class="ground" width="100" height="8"/><rect class="bar" width="${(share * 100).toFixed(2)}" height="8"/></svg><span>${shareText}</span></td><td class="figure">${degreesOfFreedom}</td><td>${distribution}</td><td class="wide">${basis}</td></tr>
`;
