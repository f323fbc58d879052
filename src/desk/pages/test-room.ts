import { existsSync } from 'node:fs';
import path from 'node:path';
import { checkedTest, correctionTexts, judgeStored } from '../../audit/index.js';
import { type Html, html, verdictMark } from '../../page/index.js';
import { papersFolder, peopleHere, stands } from '../../quality/index.js';
import {
  correctable,
  corrected,
  type EnrolledSigner,
  type IssuedCertificate,
  type Store,
  type StoredTest,
  type TestHeader,
  textOf,
} from '../../record/index.js';
import type { Desk } from '../desk.js';
import { frame, type Told } from '../frame.js';
import { wants } from './waiting.js';

/**
 * One test: what can be done with it, beside its whole record.
 * @throws DwellmarkError (`altered`) for one that is not as it was written.
 */
export function testRoom(desk: Desk, store: Store, test: string, told: Told | null): Html {
  const stored = checkedTest(store, test, judgeStored);
  const { result, head } = stored;
  const header = corrected(stored.header, stored.corrections);
  const others = store.tests({ serial: header.cylinder.serial }).filter((line) => line.test !== test);
  const title = `${test}, ${header.cylinder.serial}`;
  return frame(
    desk,
    '/tests',
    title,
    { told, wide: true },
    html`<div class="beside"><div class="acts">
<p>${result ? verdictMark(result.verdict, result.verdict) : 'Not sealed: running, or cut off.'} ${header.customer}, ${header.workOrder}</p>
${stored.corrections.flatMap(correctionTexts).map((text) => html`<p class="small">${text}</p>`)}
${stored.voided ? html`<p class="told bad">Void: ${stored.voided.reason} (${stored.voided.by})</p>` : null}
${head === null ? html`<p><a href="/live?test=${encodeURIComponent(test)}">Follow it live</a></p>` : acts(desk, store, stored)}
${others.length > 0 ? html`<h2>Same cylinder</h2><ul>${others.map((other) => html`<li><a href="/compare?a=${encodeURIComponent(other.test)}&amp;b=${encodeURIComponent(test)}">${other.test} beside this</a></li>`)}</ul>` : null}
</div>${head === null ? null : html`<iframe class="record" src="/tests/${encodeURIComponent(test)}/record" title="The record of ${test}"></iframe>`}</div>`,
  );
}

function acts(desk: Desk, store: Store, stored: StoredTest): Html {
  const header = corrected(stored.header, stored.corrections);
  const { test } = header;
  const people = peopleHere(store, desk.shop);
  const [line] = store.tests({ text: test }).filter((found) => found.test === test);
  const missing = line ? wants(desk, store, line) : [];
  const standing = stored.certificates.filter(stands);
  const place = `/tests/${encodeURIComponent(test)}`;
  return html`<section aria-labelledby="papers"><h2 id="papers">Papers</h2>
${stored.certificates.map((certificate) => paper(desk, certificate))}
${
  stored.voided || standing.length > 0
    ? null
    : missing.length > 0
      ? html`<p>Before its paper it needs: ${missing.join(', ')}.</p>`
      : html`<form class="ask" method="post" action="${place}/certificate"><button class="main" type="submit">${stored.result?.verdict === 'pass' ? 'Issue the certificate' : 'Issue the test report'}</button></form>`
}</section>
${stored.voided ? null : signForm(place, people, stored.head)}
${stored.voided ? null : correctForm(place, people, header)}
${stored.voided ? null : standing.map(({ number }) => reissueForm(place, people, number))}
${stored.voided ? null : voidForm(place, people, standing)}
<p class="small"><a href="${place}/record" download="${test}.html">The record as one file</a></p>`;
}

function paper({ shop }: Desk, certificate: IssuedCertificate): Html {
  const { number, voided, replacedBy } = certificate;
  const there = existsSync(path.join(papersFolder(shop), `${number}.pdf`));
  return html`<p>${there ? html`<a href="/papers/${encodeURIComponent(number)}.pdf">${number}.pdf</a>` : number}${voided ? ` void: ${voided.reason}` : null}${replacedBy ? ` replaced by ${replacedBy}` : null}</p>`;
}

const meanings = ['reviewed and released', 'rejected', 'performed', 'witnessed'] as const;

const signForm = (
  place: string,
  people: readonly EnrolledSigner[],
  head: string | null,
): Html => html`<form class="ask" method="post" action="${place}/sign"><input type="hidden" name="head" value="${head ?? ''}">
<fieldset><legend>Sign</legend>${person(people, ['qa', 'technician', 'witness'])}
<label>Meaning<select name="meaning">${meanings.map((meaning) => html`<option>${meaning}</option>`)}</select></label>
<label>Remark, printed<input name="remark" maxlength="200"></label>${passphrase}
<p class="small">You sign the record beside this, whole: its verdicts, limits, deviations and observations.</p>
<button class="main" type="submit">Sign</button></fieldset></form>`;

const correctForm = (
  place: string,
  people: readonly EnrolledSigner[],
  header: TestHeader,
): Html => html`<details><summary>Correct the order</summary><form class="ask" method="post" action="${place}/correct">${correctable.map(
  (what) =>
    html`<label>${correctableLabel[what]}<input name="${what}" maxlength="200" value="${textOf(header, what)}"></label>`,
)}
<label>Reason, printed<input name="reason" maxlength="200" required></label>${person(people, ['qa', 'administrator'])}${passphrase}
<p class="small">The record stays as it was sealed. Papers issued from now on say what was corrected.</p>
<button class="main" type="submit">Correct it, signed</button></form></details>`;

const correctableLabel = { customer: 'Customer', workOrder: 'Work order', address: "Customer's address" } as const;

const reissueForm = (
  place: string,
  people: readonly EnrolledSigner[],
  number: string,
): Html => html`<details><summary>Reissue ${number}</summary><form class="ask" method="post" action="${place}/reissue"><input type="hidden" name="number" value="${number}">
<label>Reason, printed<input name="reason" maxlength="200" required></label>${person(people, ['qa', 'administrator'])}${passphrase}
<button class="main" type="submit">Issue a new one: ${number} becomes void</button></form></details>`;

const voidForm = (
  place: string,
  people: readonly EnrolledSigner[],
  standing: readonly IssuedCertificate[],
): Html => html`<details><summary>Void this test</summary><form class="ask" method="post" action="${place}/void">${person(people, ['qa', 'administrator'])}
<label>Reason, printed<input name="reason" maxlength="200" required></label>${standing.length > 0 ? html`<label class="tick"><input type="checkbox" name="papers" checked> and ${standing.map(({ number }) => number).join(', ')}</label>` : null}${passphrase}
<button class="grave" type="submit">Void it: nothing is removed, and it can't be undone</button></form></details>`;

/** Who acts, of those whose role allows it. */
export const person = (people: readonly EnrolledSigner[], roles: readonly string[]): Html =>
  html`<label>Who<select name="signer">${people
    .filter(({ role }) => roles.includes(role))
    .map(({ id, name, role }) => html`<option value="${id}">${name} (${role})</option>`)}</select></label>`;

/** Used on this computer for this one act, and kept nowhere. */
export const passphrase: Html = html`<label>Passphrase<input type="password" name="passphrase" autocomplete="off" required></label>`;
