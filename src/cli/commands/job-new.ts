import path from 'node:path';
import {
  type Answers,
  checkAnswer,
  findShop,
  type JobDraft,
  jobQuestions,
  missingIn,
  planDraft,
  questionAt,
  questionsFor,
  type Shop,
  shopKnows,
  startDraft,
  writeDraft,
} from '../../bench/index.js';
import { DwellmarkError, spell } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { commandName, remark, say, sayJson } from '../output.js';
import { optionOf } from '../program/job-options.js';
import { wrapped } from '../report/result-text.js';
import { askQuestion, reviewed } from '../set-up/job-answers.js';
import { scannedOrder } from '../set-up/scanned-order.js';

export type JobNewOptions = CommonOptions &
  Readonly<Record<string, unknown>> & { readonly yes?: boolean; readonly orders?: string };

/** `dwellmark job new`: asks for a job, proposes what the shop knows, and writes its file when it reads well. */
export async function run(scan: string | undefined, options: JobNewOptions): Promise<void> {
  const shop = findShop(options.shop);
  const asking = options.yes !== true;
  if (asking && !process.stdin.isTTY)
    throw new DwellmarkError('usage', 'there is no terminal to ask on', {
      advice: 'Give every answer with its option (dwellmark job new --help) and --yes.',
    });
  const given = { ...(await scannedOrder(scan, shop, options.orders)), ...optionAnswers(options) };
  const draft = asking ? await askedDraft(shop, given) : saidDraft(shop, given);
  const { findings } = planDraft(draft, shop, today());
  const file = writeDraft(draft, shop);
  const stops = findings.filter(({ grade }) => grade === 'stop');
  if (options.json) return sayJson({ job: file, stops: stops.map(({ code }) => code) });
  say(`${file} is written.`);
  if (stops.length > 0)
    for (const { text } of stops) for (const line of wrapped(`stop: ${spell(text, draft.knows.system)}`, 0)) say(line);
  say(`Next: ${commandName} test ${path.relative(process.cwd(), file)}`);
}

const today = (): string => new Date().toISOString().slice(0, 10);

function optionAnswers(options: JobNewOptions): Answers {
  const given: Record<string, string> = {};
  for (const { key } of jobQuestions) {
    const value = options[key.replace(/_(\w)/g, (_, letter: string) => letter.toUpperCase())];
    if (typeof value === 'string') given[key] = value;
  }
  return given;
}

/** Nobody is asked: what is given, known or usual. @throws DwellmarkError with the option of what is wrong or missing. */
function saidDraft(shop: Shop, given: Answers): JobDraft {
  let draft = startDraft(shopKnows(shop, given.serial));
  for (const question of jobQuestions) {
    const { key, need, usual } = question;
    if (!questionsFor(draft.answers).includes(question)) continue;
    const proposed = draft.answers[key] ?? (need === 'further' ? undefined : usual?.(draft.answers, draft.knows));
    // A serial that is known is written as it was.
    const text = (key === 'serial' ? proposed : undefined) ?? given[key] ?? proposed;
    if (text === undefined) continue;
    try {
      draft = answered(draft, key, checkAnswer(question, text, draft.answers, draft.knows));
    } catch (cause) {
      if (!(cause instanceof DwellmarkError)) throw cause;
      const { advice } = cause;
      throw new DwellmarkError('usage', `${optionOf(key)}: ${cause.message}`, {
        ...(advice === undefined ? {} : { advice }),
        cause,
      });
    }
  }
  const missing = missingIn(draft);
  if (missing.length === 0) return draft;
  throw new DwellmarkError('usage', `not known: ${missing.map(({ ask }) => ask.toLowerCase()).join(', ')}`, {
    advice: `Give it with ${missing.map(({ key }) => optionOf(key)).join(', ')}.`,
  });
}

/** The serial first: what the shop knows of that cylinder is proposed for all that follows. */
async function askedDraft(shop: Shop, given: Answers): Promise<JobDraft> {
  const [first] = jobQuestions;
  const serial = given.serial ?? (await askQuestion(first, startDraft(shopKnows(shop, undefined))));
  const knows = shopKnows(shop, serial);
  if (knows.former !== null)
    remark(`Cylinder ${serial} is known from ${knows.former.from}: its measures are proposed.`);
  else if (knows.gauges.length === 0)
    throw new DwellmarkError('refused', 'the shop knows no gauge', { advice: 'Enter one first: dwellmark gauge add' });
  const start = startDraft(knows);
  let draft = answered(start, 'serial', start.answers.serial ?? serial);
  for (const question of jobQuestions) {
    const { key, need, optional } = question;
    if (key === 'serial' || !questionsFor(draft.answers).includes(question)) continue;
    const text = given[key] ?? draft.answers[key];
    const wrong = text === undefined ? null : faultOf(() => checkAnswer(question, text, draft.answers, knows));
    if (wrong !== null) remark(`${question.ask}: ${wrong}`);
    if (
      wrong === null &&
      need !== 'always' &&
      (text !== undefined || need === 'further' || (optional && knows.former !== null))
    )
      draft = answered(draft, key, text === undefined ? undefined : checkAnswer(question, text, draft.answers, knows));
    else
      draft = answered(
        draft,
        key,
        await askQuestion(question, answered(draft, key, wrong === null ? text : undefined)),
      );
  }
  return reviewed(draft, { look: (one) => planDraft(one, shop, today()), questionOf: questionAt });
}

const answered = ({ answers, knows }: JobDraft, key: string, text: string | undefined): JobDraft => ({
  knows,
  answers: { ...answers, [key]: text },
});

function faultOf(check: () => unknown): string | null {
  try {
    check();
    return null;
  } catch (cause) {
    if (cause instanceof DwellmarkError) return cause.message;
    throw cause;
  }
}
