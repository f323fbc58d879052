import type { PageFacts } from '../facts/page-facts.js';
import { type Html, html } from '../html.js';
import { factList, heads, section, table } from './parts.js';

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
