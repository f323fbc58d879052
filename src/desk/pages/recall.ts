import { type Decision, decisions, gaugeError, type RecallLine, type RecallQuestion } from '../../audit/index.js';
import { type Html, heads, html, table, verdictMark } from '../../page/index.js';
import { decideOnRecall, peopleHere, recallLines, recordDeciders } from '../../quality/index.js';
import { isoWithOffset, type Store } from '../../record/index.js';
import { signStatement } from '../../signing/index.js';
import { DwellmarkError, oneLine } from '../../units/index.js';
import { type Given, proven, told } from '../acts.js';
import type { Desk } from '../desk.js';
import { frame, type Told } from '../frame.js';
import { writing } from '../with-store.js';
import { passphrase, person } from './test-room.js';

/** A gauge was found out: what leans on it, what would change, and what is decided for each test. */
export function recallPage(desk: Desk, store: Store, given: Given, message: Told | null): Html {
  const asked = given.gauge ? found(store, given) : null;
  const known = [
    ...new Set([...store.gauges().map(({ serial }) => serial), ...desk.shop.gauges.map(({ spec }) => spec.serial)]),
  ];
  return frame(
    desk,
    '/recall',
    'Recall: a gauge was found out',
    { told: message ?? asked?.refused ?? null },
    html`<form class="row" method="get" action="/recall"><label>Gauge<input name="gauge" list="gauges" required value="${given.gauge ?? ''}"></label>
<datalist id="gauges">${known.map((serial) => html`<option value="${serial}">`)}</datalist>
<label>From: the last good calibration<input type="date" name="since" value="${given.since ?? ''}"></label><label>To<input type="date" name="until" value="${given.until ?? ''}"></label>
<label>It read too much by<input name="error" placeholder="1 % or 0.5 bar" value="${given.error ?? ''}"></label><button class="main" type="submit">Look</button></form>`,
    asked === null || asked.refused ? null : lines(desk, store, given, asked.lines),
  );
}

function lines(desk: Desk, store: Store, given: Given, all: readonly RecallLine[]): Html {
  if (all.length === 0) return html`<p class="none">No test leans on ${given.gauge ?? ''} in that time.</p>`;
  const open = all.filter(({ disposition }) => disposition === null).length;
  return html`<form method="post" action="/recall">${(['gauge', 'since', 'until', 'error'] as const).map(
    (key) => html`<input type="hidden" name="${key}" value="${given[key] ?? ''}">`,
  )}
<h2>${all.length} tests lean on it, ${open} undecided</h2>
${table(
  'Tests of the recall',
  heads('Decide', 'Test', 'Started', 'Customer', 'Cylinder', 'Verdict', 'If it read true', 'Papers', 'Decided'),
  all.map(
    (
      line,
    ) => html`<tr${line.changes ? html` class="grade-alarm"` : null}><td><input type="checkbox" name="test-${line.test}" aria-label="${line.test}"${line.changes && line.disposition === null ? html` checked` : null}></td><th scope="row"><a href="/tests/${encodeURIComponent(line.test)}">${line.test}</a></th><td class="figure">${line.startedAt.slice(0, 10)}</td><td>${line.customer}</td><td>${line.serial}</td><td>${line.verdict ? verdictMark(line.verdict, line.verdict) : 'not sealed'}</td><td>${line.verdictIfTrue ? verdictMark(line.verdictIfTrue, line.verdictIfTrue) : '–'}</td><td>${line.certificates.map(({ number, voided }) => `${number}${voided ? ' void' : ''}`).join(', ')}</td><td>${line.disposition ? `${line.disposition.decision}: ${line.disposition.why} (${line.disposition.by}, ${line.disposition.at.slice(0, 10)})` : ''}</td></tr>
`,
  ),
)}
<fieldset><legend>Decide for those marked</legend><div class="ask"><label>Decision<select name="decision">${decisions.map((decision) => html`<option>${decision}</option>`)}</select></label>
<label>Why<input name="why" maxlength="200" required></label><label>Customer told on<input type="date" name="customerTold"></label>
<label class="tick"><input type="checkbox" name="void"> withdraw: void their certificates</label>
${person(peopleHere(store, desk.shop), recordDeciders)}${passphrase}<p><button class="main" type="submit">Put it down, signed</button></p></div></fieldset></form>`;
}

/** Puts a decision down for the tests that are marked. */
export const decideByForm = (desk: Desk, given: Given): Promise<Told> =>
  told(() =>
    writing(desk, (store) => {
      const decision = decisions.find((known): known is Decision => known === given.decision);
      const why = oneLine(given.why ?? '', 'the reason');
      if (!decision || why === '') throw new DwellmarkError('usage', 'a decision needs its reason');
      const voiding = given.void !== undefined;
      if (voiding && decision !== 'certificate withdrawn')
        throw new DwellmarkError('usage', `to void certificates does not go with "${decision}"`);
      const question = questionOf(given);
      const meant = recallLines(store, question).filter(({ test }) => given[`test-${test}`] !== undefined);
      if (meant.length === 0) throw new DwellmarkError('usage', 'no test is marked');
      const by = proven(desk, store, given, { what: 'a recall', roles: recordDeciders });
      const decided = decideOnRecall(store, meant, {
        gauge: question.gauge,
        decision,
        by: by.signer.name,
        why,
        ...(given.customerTold ? { customerToldAt: given.customerTold } : {}),
        voidCertificates: voiding,
        sign: (kind, statement) => signStatement(by, kind, statement, isoWithOffset(desk.now())),
      });
      const done = [...decided];
      const voided = done.flatMap(({ certificatesVoided }) => certificatesVoided);
      return `${done.length} tests: ${decision}${voided.length > 0 ? `; void: ${voided.join(', ')}` : ''}.`;
    }),
  );

function questionOf({ gauge = '', since, until, error }: Given): RecallQuestion {
  return {
    gauge: gauge.trim(),
    since: since || '1970-01-01',
    ...(until ? { until } : {}),
    ...(error ? { error: gaugeError(error, 'It read too much by') } : {}),
  };
}

function found(store: Store, given: Given): { lines: RecallLine[]; refused: Told | null } {
  try {
    return { lines: recallLines(store, questionOf(given)), refused: null };
  } catch (cause) {
    if (!(cause instanceof DwellmarkError)) throw cause;
    return { lines: [], refused: { good: false, text: `${cause.message}. ${cause.advice ?? ''}` } };
  }
}
