import { closeSync, existsSync, fsyncSync, mkdirSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import path from 'node:path';
import { DwellmarkError, type ErrorPlace } from '../../units/index.js';
import { type Prepared, prepare } from '../prepare.js';
import type { Shop } from '../shop.js';
import { answersOf, type JobTable, jobFileText, tableFrom } from './job-table.js';
import type { ShopKnows } from './known.js';
import { type Answers, type JobQuestion, questionsFor } from './questions.js';

/** A job that is being made: nothing of it is on the disk yet. */
export interface JobDraft {
  readonly answers: Answers;
  readonly knows: ShopKnows;
}

/** What the former job of the cylinder proposes. */
export const startDraft = (knows: ShopKnows): JobDraft => ({
  knows,
  answers: knows.former === null ? {} : answersOf(knows.former.table),
});

/** The questions that nobody answered and that have no usual answer. */
export const missingIn = ({ answers }: JobDraft): readonly JobQuestion[] =>
  questionsFor(answers).filter(({ key, optional, need }) => !optional && need !== 'further' && !answers[key]);

/** A gauge that a former job describes stays described, where the shop knows none. */
const baseOf = ({ former }: ShopKnows): JobTable => former?.table ?? {};

export const draftText = ({ answers, knows }: JobDraft): string => jobFileText(tableFrom(answers, baseOf(knows)));

/** What of the former job goes on unasked, by its name in the file: `bench`, `gauge`. */
export const unasked = ({ knows }: JobDraft): readonly string[] =>
  ['trapped', 'units', 'oil_temperature_change'].filter((name) => name in baseOf(knows));

/**
 * The job read as it would stand in the file, with its plan.
 * @throws DwellmarkError (`input`) with the key of what is wrong.
 */
export const planDraft = (draft: JobDraft, shop: Shop, on: string): Prepared =>
  prepare({ jobFile: freeJobFile(shop, draft.answers), jobText: draftText(draft), shop, attendance: 'attended', on });

/** The question at a place in the job file, `port[1].position` or `cylinder.rod`. */
export function questionAt({ key = '' }: ErrorPlace, answers: Answers): JobQuestion | undefined {
  const ofPort: Readonly<Record<string, string>> = { name: 'ports', restrained: 'position' };
  const plain = key.replace(/\[\d+\]/g, '');
  const last = plain.split('.').at(-1) ?? '';
  const wanted = plain.startsWith('port.') ? (ofPort[last] ?? last) : plain.startsWith('torque') ? 'torque' : null;
  return questionsFor(answers).find((one) => (wanted === null ? one.path?.join('.') === plain : one.key === wanted));
}

/** `jobs/WO-2301-TQ-3381-after-repair.toml`; with a number behind it where that is taken. */
export function freeJobFile(shop: Shop, { work_order: order, serial, purpose }: Answers): string {
  const name = [order, serial, purpose]
    .map((part) => (part ?? '').replace(/[^\p{L}\p{N}.]+/gu, '-').replace(/^[-.]+|-+$/g, ''))
    .filter((part) => part !== '')
    .join('-')
    .slice(0, 100);
  for (let count = 1; ; count += 1) {
    const file = path.join(shop.folder, 'jobs', `${name}${count === 1 ? '' : `-${count}`}.toml`);
    if (!existsSync(file)) return file;
  }
}

/**
 * Writes the job file: whole, and at once, or not at all. Nothing is written over.
 * @throws DwellmarkError (`input`) when the disk does not take it.
 */
export function writeDraft(draft: JobDraft, shop: Shop): string {
  const folder = path.join(shop.folder, 'jobs');
  const passing = path.join(folder, `.new-job.${process.pid}.part`);
  try {
    mkdirSync(folder, { recursive: true });
    const out = openSync(passing, 'wx');
    try {
      writeSync(out, draftText(draft));
      fsyncSync(out);
    } finally {
      closeSync(out);
    }
    const file = freeJobFile(shop, draft.answers);
    renameSync(passing, file);
    return file;
  } catch (cause) {
    throw new DwellmarkError('input', `the job can't be written: ${(cause as NodeJS.ErrnoException).code ?? cause}`, {
      place: { file: folder },
      cause,
    });
  } finally {
    rmSync(passing, { force: true });
  }
}
