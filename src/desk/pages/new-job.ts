import {
  type Answers,
  bareUnit,
  checkAnswer,
  type JobDraft,
  type JobQuestion,
  jobQuestions,
  ordersOfShop,
  planDraft,
  questionAt,
  questionsFor,
  rowsOf,
  scanned,
  shopKnows,
  startDraft,
  writeDraft,
} from '../../bench/index.js';
import { type Html, html } from '../../page/index.js';
import { DwellmarkError, oneLine, spell } from '../../units/index.js';
import type { Desk } from '../desk.js';
import { frame, type Told } from '../frame.js';

type Fields = Readonly<Record<string, string>>;

/** A new job: first its cylinder or work order, then every question with what the shop proposes. */
export function newJobPage(desk: Desk, query: Fields): Html {
  const scan = query.scan?.trim() ?? '';
  if (scan === '') return frame(desk, '/jobs/new', 'New job', {}, scanForm(''));
  try {
    const draft = proposed(desk, oneLine(scan, 'the scan'));
    return frame(desk, '/jobs/new', 'New job', {}, fromText(draft), jobForm(draft, null));
  } catch (cause) {
    if (!(cause instanceof DwellmarkError)) throw cause;
    return frame(desk, '/jobs/new', 'New job', { told: { good: false, text: textOf(cause) } }, scanForm(scan));
  }
}

/** Writes the job of a form, or shows the form again with what is wrong and every answer kept. */
export function newJobByForm(desk: Desk, given: Fields): { readonly page: Html; readonly made: boolean } {
  const knows = shopKnows(desk.shop, given.serial);
  let draft: JobDraft = startDraft(knows);
  let asked: JobQuestion | undefined;
  try {
    for (const question of jobQuestions) {
      if (!questionsFor(draft.answers).includes(question)) continue;
      asked = question;
      const text = (question.key === 'serial' ? draft.answers.serial : undefined) ?? given[question.key] ?? '';
      const isUsual = text === '' && question.choices !== undefined;
      const usual = isUsual ? question.usual?.(draft.answers, knows) : undefined;
      const answer = isUsual && question.need === 'further' ? '' : (usual ?? text);
      const checked =
        answer === '' && question.need === 'further' ? '' : checkAnswer(question, answer, draft.answers, knows);
      draft = { knows, answers: { ...draft.answers, [question.key]: checked } };
    }
    asked = undefined;
    const { findings } = planDraft(draft, desk.shop, desk.now().toISOString().slice(0, 10));
    const file = writeDraft(draft, desk.shop);
    const stops = findings.filter(({ grade }) => grade === 'stop');
    const told: Told = {
      good: true,
      text: `${file} is written. At the bench: dwellmark test ${draft.answers.work_order}`,
    };
    const said = stops.map(({ text }) => html`<p class="notice">stop: ${spell(text, knows.system)}</p>`);
    return { made: true, page: frame(desk, '/jobs/new', 'New job', { told }, said, scanForm('')) };
  } catch (cause) {
    if (!(cause instanceof DwellmarkError)) throw cause;
    const at = asked ?? questionAt(cause.place, draft.answers);
    const text = `${at === undefined ? '' : `${at.ask}: `}${textOf(cause)}. Nothing was written.`;
    const kept: JobDraft = { knows, answers: { ...draft.answers, ...given } };
    return {
      made: false,
      page: frame(desk, '/jobs/new', 'New job', { told: { good: false, text } }, jobForm(kept, at?.key ?? null)),
    };
  }
}

const textOf = ({ message, advice }: DwellmarkError): string =>
  advice === undefined ? message : `${message}. ${advice.replace(/\.$/, '')}`;

/** As at the terminal: a row of the orders, a serial that is known, a work order, else a serial that is new. */
function proposed({ shop }: Desk, scan: string): JobDraft {
  const orders = ordersOfShop(shop);
  const [row, another] = orders === null ? [] : rowsOf(orders, scan);
  if (another !== undefined)
    throw new DwellmarkError('usage', `${scan} has several cylinders in ${orders?.file}`, { advice: 'Give a serial.' });
  const known = scanned(shop, scan);
  const [serial, other] = known.serials;
  if (row === undefined && !known.isSerial && other !== undefined)
    throw new DwellmarkError('usage', `${scan} had several cylinders: ${known.serials.join(', ')}`, {
      advice: 'Give a serial.',
    });
  const given: Answers =
    row ?? (known.isSerial || serial === undefined ? { serial: scan } : { work_order: scan, serial });
  const draft = startDraft(shopKnows(shop, given.serial));
  return { ...draft, answers: { ...given, ...draft.answers, ...row } };
}

const fromText = ({ knows }: JobDraft): Html | null =>
  knows.former === null ? null : html`<p>Proposed from ${knows.former.from}.</p>`;

const scanForm = (scan: string): Html =>
  html`<form class="row" method="get" action="/jobs/new"><label>Serial of the cylinder, or work order<input name="scan" maxlength="200" value="${scan}" required autofocus></label><button class="main" type="submit">Begin</button></form>`;

/** Every question once; those that the kind of cylinder does not have are left empty. */
function jobForm(draft: JobDraft, wrong: string | null): Html {
  const once = jobQuestions.filter(({ key }, index) => jobQuestions.findIndex((one) => one.key === key) === index);
  const [plain, further] = [
    once.filter(({ need }) => need !== 'further'),
    once.filter(({ need }) => need === 'further'),
  ];
  return html`<form class="ask" method="post" action="/jobs/new"><fieldset><legend>Job</legend>${plain.map((question) => field(question, draft, wrong))}</fieldset>
<details${further.some(({ key }) => key === wrong) ? html` open` : null}><summary>More: part, order, valves, …</summary><fieldset><legend>More</legend>${further.map((question) => field(question, draft, wrong))}</fieldset></details>
<button class="main" type="submit">Write the job</button></form>`;
}

function field(question: JobQuestion, { answers, knows }: JobDraft, wrong: string | null): Html {
  const { key, ask, choices, optional, when } = question;
  const unit = bareUnit(question, knows.system);
  const value = answers[key] ?? (question.need === 'further' ? '' : (question.usual?.(answers, knows) ?? ''));
  const label = `${ask}${unit === undefined ? '' : `, ${unit}`}`;
  const invalid = wrong === key ? html` aria-invalid="true" autofocus` : null;
  if (choices === undefined) {
    const demanded = optional || when ? null : html` required`;
    return html`<label>${label}<input name="${key}" maxlength="200" value="${value}"${demanded}${invalid}></label>`;
  }
  // Which ports there are follows from the kind: the check says when one does not fit.
  const all = key === 'ports' ? ['A and B', 'A', 'B'] : choices(answers, knows);
  const shown = all.includes(value) || value === '' ? all : [value, ...all];
  return html`<label>${label}<select name="${key}"${invalid}>${question.need === 'further' || when ? html`<option value="">–</option>` : null}${shown.map(
    (choice) => html`<option${choice === value ? html` selected` : null}>${choice}</option>`,
  )}</select></label>`;
}
