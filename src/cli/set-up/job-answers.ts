import {
  type Answers,
  bareUnit,
  checkAnswer,
  type JobDraft,
  type JobQuestion,
  type Prepared,
  questionsFor,
  unasked,
} from '../../bench/index.js';
import { DwellmarkError, type ErrorPlace, spell } from '../../units/index.js';
import { ask, choose } from '../ask.js';
import { remark } from '../output.js';
import { optionOf } from '../program/job-options.js';
import { wrapped } from '../report/result-text.js';

/** Asks one question of a job, its proposal in brackets; an answer that can't be is asked again. */
export async function askQuestion(question: JobQuestion, { answers, knows }: JobDraft): Promise<string> {
  const { key, optional, choices, offers, usual } = question;
  const preset = answers[key] ?? usual?.(answers, knows);
  const option = optionOf(key);
  if (choices) {
    const all = choices(answers, knows);
    const [only] = all;
    if (all.length === 1 && only !== undefined && preset === only) return only;
    if (all.length === 0)
      throw new DwellmarkError('refused', `${question.ask}: there is none to choose from`, {
        advice: 'Enter a gauge first: dwellmark gauge add',
      });
    const shown = key === 'procedure' ? knows.procedures.map(({ id, title }) => `${id}: ${title}`) : all;
    const usualShown = preset === undefined ? undefined : shown[all.indexOf(preset)];
    const picked = await choose(question.ask, shown, option, usualShown);
    return all[shown.indexOf(picked)] ?? picked;
  }
  const offered = offers?.(knows) ?? [];
  for (const [index, offer] of offered.entries()) remark(`  ${index + 1}  ${offer}`);
  const unit = bareUnit(question, knows.system);
  const none = optional ? (preset ? '-: none' : 'Enter: none') : undefined;
  const note = [unit, none].filter((part) => part !== undefined).join('; ');
  const meant = (text: string): string => (optional && text === '-' ? '' : (offered[Number(text) - 1] ?? text));
  const text = await ask(`${question.ask}${note === '' ? '' : ` (${note})`}`, option, preset ?? '', (typed) =>
    checkAnswer(question, meant(typed), answers, knows),
  );
  return checkAnswer(question, meant(text), answers, knows);
}

interface Looking {
  readonly look: (draft: JobDraft) => Prepared;
  readonly questionOf: (place: ErrorPlace, answers: Answers) => JobQuestion | undefined;
}

/**
 * Shows every answer under a number and what the plan says of the job, until it reads well and somebody agrees.
 * @throws DwellmarkError (`refused`) when the person leaves: nothing was written.
 */
export async function reviewed(first: JobDraft, looking: Looking): Promise<JobDraft> {
  let draft = first;
  for (;;) {
    const wrong = troubleIn(draft, looking);
    if (wrong !== null) {
      remark(`${wrong.message}.${wrong.advice === undefined ? '' : ` ${wrong.advice}`}`);
      const question = looking.questionOf(wrong.place, draft.answers);
      if (question === undefined) throw wrong;
      draft = await askedAgain(question, draft);
      continue;
    }
    const rows = shownRows(draft);
    const more = rows.length + 1;
    const answer = await ask('Enter writes it, a number changes that line, 0 leaves', '--yes', '', (text) => {
      if (!/^\d*$/.test(text) || Number(text) > more)
        throw new DwellmarkError('usage', `Type a number from 0 to ${more}, or Enter alone`);
    });
    if (answer === '') return draft;
    const picked = Number(answer);
    if (picked === 0)
      throw new DwellmarkError('refused', 'left without writing the job', { advice: 'Nothing was written.' });
    const question = rows[picked - 1];
    draft = question === undefined ? await furtherAsked(draft) : await askedAgain(question, draft);
  }
}

/** Prints the answers and the findings; what is wrong with the job, or null. */
function troubleIn(draft: JobDraft, { look }: Looking): DwellmarkError | null {
  try {
    const { findings } = look(draft);
    remark('');
    const rows = shownRows(draft);
    const widest = Math.max(...rows.map(({ ask: text }) => text.length));
    for (const [index, { key, ask: text }] of rows.entries())
      remark(`${String(index + 1).padStart(4)}  ${text.padEnd(widest)}  ${draft.answers[key] || '–'}`);
    remark(`${String(rows.length + 1).padStart(4)}  say more (part, valves, order, …)`);
    const kept = unasked(draft);
    if (kept.length > 0) remark(`      as in ${draft.knows.former?.from}: ${kept.join(', ')}`);
    for (const { grade, text, port } of findings.filter((finding) => finding.grade !== 'note'))
      for (const line of wrapped(
        `${grade}${port === undefined ? '' : ` ${port}`}: ${spell(text, draft.knows.system)}`,
        6,
      ))
        remark(line);
    return null;
  } catch (cause) {
    if (cause instanceof DwellmarkError) return cause;
    throw cause;
  }
}

const shownRows = ({ answers }: JobDraft): readonly JobQuestion[] =>
  questionsFor(answers).filter(({ key, need }) => Boolean(answers[key]) || need !== 'further');

async function askedAgain(question: JobQuestion, draft: JobDraft): Promise<JobDraft> {
  let next: JobDraft = { ...draft, answers: { ...draft.answers, [question.key]: await askQuestion(question, draft) } };
  // A change of kind or of purpose may lead to questions that were not asked.
  for (const other of questionsFor(next.answers))
    if (!other.optional && other.need !== 'further' && !next.answers[other.key])
      next = { ...next, answers: { ...next.answers, [other.key]: await askQuestion(other, next) } };
  return next;
}

async function furtherAsked(draft: JobDraft): Promise<JobDraft> {
  let next = draft;
  for (const question of questionsFor(draft.answers).filter(({ need }) => need === 'further'))
    next = { ...next, answers: { ...next.answers, [question.key]: await askQuestion(question, next) } };
  return askedValves(next);
}

/** Valves that were named just now lead to how they were tested. */
async function askedValves(draft: JobDraft): Promise<JobDraft> {
  const question = questionsFor(draft.answers).find(({ key }) => key === 'valves_tested');
  if (question === undefined || draft.answers.valves_tested) return draft;
  return { ...draft, answers: { ...draft.answers, valves_tested: await askQuestion(question, draft) } };
}
