import { listedTests } from '../../audit/index.js';
import { type Html, html } from '../../page/index.js';
import type { Store, TestFilter, TestLine } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { Desk } from '../desk.js';
import { frame } from '../frame.js';
import { testTable } from './test-table.js';

const mostShown = 200;
const fields = [
  ['customer', 'Customer', 'text'],
  ['serial', 'Cylinder', 'text'],
  ['workOrder', 'Work order', 'text'],
  ['gauge', 'Gauge', 'text'],
  ['person', 'Person', 'text'],
  ['text', 'Words', 'text'],
  ['since', 'From', 'date'],
  ['until', 'To', 'date'],
] as const;
const verdicts = ['pass', 'fail', 'inconclusive', 'invalid', 'unsealed'] as const;

/** Finds tests by whatever is known of them; two of one cylinder can be held beside each other. */
export function searchPage(desk: Desk, store: Store, query: Readonly<Record<string, string>>): Html {
  const asked = Object.entries(query).filter(([key, value]) => value !== '' && isField(key));
  const filter = { ...Object.fromEntries(asked), limit: mostShown + 1 } as TestFilter;
  const { lines, refused } = found(store, filter);
  const shown = lines.slice(0, mostShown);
  return frame(
    desk,
    '/tests',
    'Tests',
    { told: refused === null ? null : { good: false, text: refused } },
    html`<search><form class="row" method="get" action="/tests">${fields.map(
      ([key, label, type]) =>
        html`<label>${label}<input type="${type}" name="${key}" value="${query[key] ?? ''}"></label>`,
    )}<label>Verdict<select name="verdict"><option value="">any</option>${verdicts.map(
      (verdict) => html`<option${query.verdict === verdict ? html` selected` : null}>${verdict}</option>`,
    )}</select></label><button class="main" type="submit">Find</button></form></search>`,
    html`<h2>${lines.length > mostShown ? `The newest ${mostShown}` : `${lines.length}`} found</h2>`,
    shown.length === 0 ? html`<p class="none">No test is like that.</p>` : testTable('Tests found', shown),
    pairs(shown.map(({ test, serial }) => ({ test, serial }))),
  );
}

const isField = (key: string): boolean => key === 'verdict' || fields.some(([name]) => name === key);

function found(store: Store, filter: TestFilter): { lines: readonly TestLine[]; refused: string | null } {
  try {
    return { lines: listedTests(store, filter).tests, refused: null };
  } catch (cause) {
    if (cause instanceof DwellmarkError) return { lines: [], refused: cause.message };
    throw cause;
  }
}

/** The newest two of each cylinder that was tested more than once. */
function pairs(lines: readonly { test: string; serial: string }[]): Html | null {
  const bySerial = new Map<string, string[]>();
  for (const { test, serial } of lines) bySerial.set(serial, [...(bySerial.get(serial) ?? []), test]);
  const twice = [...bySerial].filter(([, tests]) => tests.length > 1);
  if (twice.length === 0) return null;
  return html`<h2>Tested more than once</h2><ul>${twice.map(
    ([serial, [newer = '', older = '']]) =>
      html`<li><a href="/compare?a=${encodeURIComponent(older)}&amp;b=${encodeURIComponent(newer)}">${serial}: ${older} beside ${newer}</a></li>`,
  )}</ul>`;
}
