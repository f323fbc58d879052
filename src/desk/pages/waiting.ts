import { listedTests } from '../../audit/index.js';
import { type Html, html } from '../../page/index.js';
import type { Store, TestLine } from '../../record/index.js';
import { missingSignatures } from '../../signing/index.js';
import type { Desk } from '../desk.js';
import { frame } from '../frame.js';
import { calibrationsDue, gaugeRows } from './gauges.js';
import { testTable } from './test-table.js';

/** So many of the newest tests are looked through for what waits. */
const lookedThrough = 1000;

/** What waits for somebody: tests that run, that want a signature, that want their paper; calibrations due. */
export function waitingPage(desk: Desk, store: Store): Html {
  const running = store.unfinished();
  const newest = listedTests(store, { limit: lookedThrough }).tests;
  const open = newest.filter(({ head, voided, certificates }) => head !== null && !voided && certificates.length === 0);
  const [toSign, toIssue] = parted(open, (line) => wants(desk, store, line).length > 0);
  const due = calibrationsDue(desk, store);
  return frame(
    desk,
    '/',
    'Waiting',
    {},
    part('For a signature', toSign, `Nothing among the newest ${lookedThrough} tests waits for a signature.`, (line) =>
      wants(desk, store, line).join(', '),
    ),
    part('For a certificate or report', toIssue, 'No signed test waits for its paper.'),
    part('Not sealed: running, or cut off', running, 'No test is open.'),
    html`<section aria-labelledby="due"><h2 id="due">Calibrations</h2>${due.length === 0 ? html`<p class="none">None falls due within 30 days.</p>` : gaugeRows('Calibrations due', due)}</section>`,
  );
}

const part = (title: string, lines: readonly TestLine[], none: string, wanted?: (line: TestLine) => string): Html => {
  const id = title.toLowerCase().replace(/[^a-z]+/g, '-');
  return html`<section aria-labelledby="${id}"><h2 id="${id}">${title} (${lines.length})</h2>
${lines.length === 0 ? html`<p class="none">${none}</p>` : testTable(title, lines, wanted)}</section>
`;
};

/** Signatures that the shop file asks for and that this test lacks. */
export function wants({ shop }: Desk, store: Store, { test, head, verdict }: TestLine): readonly string[] {
  if (head === null || verdict === null) return [];
  const signatures = store.test(test).signatures.map(({ position: _position, ...signature }) => signature);
  return missingSignatures(shop.signatures.required, { test, head, verdict, signatures });
}

function parted<T>(all: readonly T[], first: (one: T) => boolean): [T[], T[]] {
  const [yes, no]: [T[], T[]] = [[], []];
  for (const one of all) (first(one) ? yes : no).push(one);
  return [yes, no];
}
