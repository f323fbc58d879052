import { type Archive, type ArchiveFilter, alteredColumns, benchNamed, listArchive } from '../../archive/index.js';
import {
  type CheckReport,
  type Problem,
  type RecallLine,
  recall as recallIn,
  testChecker,
  verifyOnAllCores,
  verifyTest,
} from '../../audit/index.js';
import { judgeStored } from '../../bench/index.js';
import type { TestFilter } from '../../record/index.js';
import { DwellmarkError, unitSystems } from '../../units/index.js';
import { exitCodes } from '../exit-codes.js';
import { remark, sayJson } from '../output.js';
import { threadLost } from '../report/progress.js';
import { type ArchiveOptions, archivedTest, eachBench, withArchive, withCopy } from '../shop/archive-of-shop.js';
import { type ListOptions, tellTests } from './list.js';
import { questionOf, type RecallCommandOptions, tellRecall } from './recall.js';
import { type ShowOptions, showTest } from './show.js';
import { exitOf, tellReport, type VerifyCommandOptions } from './verify.js';

/** A list of an archive has an end when nobody sets one. */
const mostListed = 200;

type Archived<Options> = Options & ArchiveOptions & { readonly bench?: string };

/** `dwellmark list --archive`: tests of all benches. */
export async function list(options: Archived<ListOptions>): Promise<void> {
  const { shop: _shop, json, csv, debug: _debug, archive: _archive, ...filter } = options;
  const limit = filter.limit ?? mostListed;
  const found = await withArchive(options, async (archive) => {
    const tests = await listArchive(archive, { ...filter, limit: limit + 1 });
    for (const bench of new Set(tests.map((line) => line.bench))) {
      const names = tests.filter((line) => line.bench === bench).map(({ test }) => test);
      demandUnaltered(bench, await alteredColumns(archive, await benchNamed(archive, bench), names));
    }
    return tests;
  });
  const lines = found.slice(0, limit);
  if (json) sayJson(lines);
  else
    tellTests(
      lines.map((line) => ({ ...line, test: `${line.bench}/${line.test}`, head: null })),
      { csv },
      'No test of the archive is like that.',
    );
  if (found.length > limit) remark(`There are more: these are ${limit}. Ask closer, or with --limit.`);
}

/** `dwellmark show BENCH/TEST --archive`. */
export async function show(what: string | undefined, options: Archived<ShowOptions>): Promise<void> {
  if (what === undefined)
    throw new DwellmarkError('usage', 'of an archive a test is shown, not a cylinder', {
      advice: '`dwellmark list --archive --serial SERIAL` finds its tests.',
    });
  const { bench, test } = archivedTest(what);
  await withArchive(options, (archive) =>
    withCopy(archive, bench, { tests: [test], ledger: 'whole' }, (store) => showTest(store, test, options)),
  );
}

/** `dwellmark verify --archive`: one test with its bench's whole ledger, or bench after bench. */
export async function verify(what: string | undefined, options: Archived<VerifyCommandOptions>): Promise<void> {
  if (what !== undefined) {
    const { bench, test } = archivedTest(what);
    const wanted = { tests: [test], ledger: 'whole' } as const;
    return withArchive(options, async (archive) => {
      const altered = await alteredColumns(archive, await benchNamed(archive, bench), [test]);
      await withCopy(archive, bench, wanted, (store) =>
        tellReport(withProblems(verifyTest(store, test, judgeStored), altered), options.json),
      );
    });
  }
  let worst: number = exitCodes.done;
  const reports: unknown[] = [];
  await withArchive(options, async (archive) => {
    for await (const bench of eachBench(archive)) {
      const altered = await alteredColumns(archive, await benchNamed(archive, bench));
      await withCopy(archive, bench, { ledger: 'whole' }, async (store) => {
        const report = withProblems(await verifyOnAllCores(store, { threadLost }), altered);
        if (exitOf(report) !== exitCodes.done && worst !== exitCodes.altered) worst = exitOf(report);
        if (options.json) return void reports.push({ bench, ...report });
        remark(`${bench}: ${report.counts.tests} tests, ${report.counts.ledgerLines} ledger lines`);
        tellReport(report, false);
      });
    }
  });
  if (options.json) sayJson(reports);
  process.exitCode = worst;
}

/** With what is wrong beside the record: columns that lists and recalls go by. */
function withProblems(report: CheckReport, problems: readonly Problem[]): CheckReport {
  const checked = problems.length > 0 ? [] : ['columns that lists and recalls go by, against headers, seals and lines'];
  return { ...report, checked: [...report.checked, ...checked], problems: [...report.problems, ...problems] };
}

/** `dwellmark recall --archive`: what leans on a gauge on whatever bench it was. Decisions are put down at the bench. */
export async function recall(options: Archived<RecallCommandOptions>): Promise<void> {
  if (options.decide !== undefined || options.void)
    throw new DwellmarkError('usage', 'a decision is put down in the record of the bench, not in the archive', {
      advice: 'Run the recall there with --decide or --void, then push.',
    });
  const question = questionOf(options);
  const { gauge, since, until } = question;
  const filter = { gauge, since, ...(until === undefined ? {} : { until }) };
  const lines = await withArchive(options, async (archive) => {
    const all: RecallLine[] = [];
    for await (const bench of eachBench(archive)) {
      demandUnaltered(bench, await alteredColumns(archive, await benchNamed(archive, bench)));
      const tests = await testsOf(archive, { ...filter, bench });
      if (tests.length === 0) continue;
      await withCopy(archive, bench, { tests, ledger: 'whole' }, (store) => {
        const check = testChecker(store, judgeStored);
        for (const line of recallIn(store, question, judgeStored)) {
          check(line.test);
          all.push({ ...line, test: `${bench}/${line.test}` });
        }
      });
    }
    return all;
  });
  tellRecall(lines, question, options, unitSystems.bar);
}

/** Or a recall could pass a test over. @throws DwellmarkError (`altered`). */
function demandUnaltered(bench: string, [first]: readonly Problem[]): void {
  if (!first) return;
  throw new DwellmarkError('altered', `the archive of "${bench}" was altered: ${first.where}: ${first.what}`, {
    advice: 'Nothing was done. Run `dwellmark verify --archive`; the benches have their own records.',
  });
}

const everyTest = 1_000_000;

const testsOf = async (archive: Archive, filter: TestFilter & { bench: string }): Promise<string[]> =>
  (await listArchive(archive, { ...filter, limit: everyTest } satisfies ArchiveFilter)).map(({ test }) => test);
