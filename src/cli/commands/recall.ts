import { mkdirSync } from 'node:fs';
import path from 'node:path';
import { type Decision, type GaugeError, gaugeError, type RecallLine, type RecallQuestion } from '../../audit/index.js';
import { findShop, type Shop } from '../../bench/index.js';
import {
  decideOnRecall,
  demandFreePlace,
  recallLines as listRecall,
  recordDeciders,
  waitingFiles,
} from '../../quality/index.js';
import { isoWithOffset, openStore, type Store } from '../../record/index.js';
import { signStatement } from '../../signing/index.js';
import { DwellmarkError, oneLine, type UnitSystem, unitSystems } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';
import { Progress } from '../report/progress.js';
import { byCustomer, recallCsv, recallLines, recallSum } from '../report/recall-text.js';
import { entitledPerson } from '../shop/signing-person.js';

export interface RecallCommandOptions extends CommonOptions {
  readonly gauge: string;
  readonly since?: string;
  readonly until?: string;
  readonly readsHigh?: string;
  readonly offsetBar?: number;
  readonly test?: readonly string[];
  readonly changed?: boolean;
  readonly all?: boolean;
  readonly decide?: Decision;
  readonly void?: boolean;
  readonly reason?: string;
  readonly told?: string;
  readonly signer?: string;
  readonly passphraseFd?: number;
  readonly csv?: boolean;
  readonly output?: string;
}

/** `dwellmark recall`: what leans on a gauge that was found out, what would change, and what is decided about it. */
export async function run(options: RecallCommandOptions): Promise<void> {
  const shop = findShop(options.shop);
  const question = questionOf(options);
  const deciding = options.decide !== undefined || options.void === true;
  if (deciding) await decide(shop, question, options);
  const store = openStore(shop.database, { mode: 'read' });
  try {
    tellRecall(listed(store, question), question, options, unitSystems[shop.units]);
  } finally {
    store.close();
  }
}

/** The list, in the form that was asked for. */
export function tellRecall(
  lines: readonly RecallLine[],
  question: RecallQuestion,
  options: Pick<RecallCommandOptions, 'output' | 'json' | 'csv'>,
  system: UnitSystem,
): void {
  if (options.output !== undefined) return putLists(lines, options.output);
  if (options.json) return sayJson({ ...question, tests: lines, customers: [...byCustomer(lines).keys()] });
  if (options.csv) return void process.stdout.write(recallCsv(lines));
  if (lines.length === 0) return say(`No test leans on gauge ${question.gauge} in that time.`);
  for (const line of recallLines(lines, question, system)) say(line);
  say(recallSum(lines, question.error !== undefined));
}

/** What is asked, from the options. @throws DwellmarkError (`usage`) for an error of the gauge that is none. */
export function questionOf(options: RecallCommandOptions): RecallQuestion {
  const { gauge, since, until, readsHigh, offsetBar } = options;
  const stated = readsHigh === undefined ? undefined : gaugeError(readsHigh);
  const error: GaugeError | undefined =
    stated === undefined && offsetBar === undefined
      ? undefined
      : { fraction: stated?.fraction ?? 0, offsetPa: (stated?.offsetPa ?? 0) + (offsetBar ?? 0) * 1e5 };
  return {
    gauge,
    since: since ?? '1970-01-01',
    ...(until === undefined ? {} : { until }),
    ...(error === undefined ? {} : { error }),
  };
}

function listed(store: Store, question: RecallQuestion): RecallLine[] {
  const progress = new Progress();
  try {
    return listRecall(store, question, (done, of, test) => progress.tell(`${done} of ${of}  ${test}`));
  } finally {
    progress.end();
  }
}

/** Puts a decision down for the tests that are meant, and voids their certificates when asked. */
async function decide(shop: Shop, question: RecallQuestion, options: RecallCommandOptions): Promise<void> {
  const { gauge } = question;
  const why = reasonOf(options);
  const decision = options.decide ?? 'certificate withdrawn';
  if (options.void && decision !== 'certificate withdrawn')
    throw new DwellmarkError('usage', `--void withdraws certificates: it does not go with --decide "${decision}"`);
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const meant = meantTests(listed(store, question), options);
    const person = await entitledPerson(store, shop, { what: 'a recall', roles: recordDeciders }, options);
    const decided = decideOnRecall(store, meant, {
      gauge,
      decision,
      by: person.signer.name,
      why,
      ...(options.told === undefined ? {} : { customerToldAt: dayOf(options.told) }),
      voidCertificates: options.void === true,
      sign: (kind, statement) => signStatement(person, kind, statement, isoWithOffset(new Date())),
    });
    for (const { test, written, certificatesVoided } of decided) {
      const papers = certificatesVoided.length > 0 ? `; void: ${certificatesVoided.join(', ')}` : '';
      remark(`${test}: ${written ? decision : `${decision}, as put down before`}${papers}`);
    }
  } finally {
    store.close();
  }
}

function reasonOf({ reason }: RecallCommandOptions): string {
  const why = oneLine(reason ?? '', '--reason');
  if (why === '')
    throw new DwellmarkError('usage', 'a decision needs its reason', { advice: 'Give it with --reason "…".' });
  return why;
}

/** The tests that a decision is for: it has to be said which. */
function meantTests(lines: readonly RecallLine[], options: RecallCommandOptions): readonly RecallLine[] {
  const { test: named = [], changed, all } = options;
  if (named.length === 0 && !changed && !all)
    throw new DwellmarkError('usage', `${lines.length} tests lean on gauge ${options.gauge}: which are meant?`, {
      advice: 'Say --test T-2026-0007 (once for each), --changed or --all.',
    });
  if (changed && options.readsHigh === undefined && options.offsetBar === undefined)
    throw new DwellmarkError('usage', '--changed needs to know how far off the gauge was', {
      advice: 'Say it with --reads-high "1 %" or --reads-high "0.5 bar".',
    });
  const unknown = named.find((name) => !lines.some(({ test }) => test === name));
  if (unknown !== undefined)
    throw new DwellmarkError('input', `test ${unknown} is not one of this recall`, {
      advice: 'Without --decide the tests are listed.',
    });
  return lines.filter(({ test, changes }) => all || named.includes(test) || (changed && changes));
}

function dayOf(text: string): string {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text) || new Date(text).toJSON()?.slice(0, 10) !== text)
    throw new DwellmarkError('usage', `"${text}" is no date`, {
      place: { key: '--told' },
      advice: 'Write it as 2026-03-14.',
    });
  return text;
}

/** One CSV file for each customer. */
function putLists(lines: readonly RecallLine[], folder: string): void {
  mkdirSync(folder, { recursive: true });
  const files = new Map(
    [...byCustomer(lines)].map(([customer, group], index) => {
      const name = customer
        .normalize('NFKD')
        .replace(/[^\w]+/g, '-')
        .replace(/^-|-$/g, '')
        .slice(0, 40);
      return [path.join(folder, `recall-${index + 1}-${name}.csv`), Buffer.from(recallCsv(group), 'utf8')];
    }),
  );
  for (const file of files.keys()) demandFreePlace(file);
  for (const waiting of waitingFiles(files)) waiting.place();
  for (const file of files.keys()) remark(`${file} written.`);
}
