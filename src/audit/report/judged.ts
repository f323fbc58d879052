import type { TestResult } from '../../evaluation/index.js';
import { gaugesOfPlan, makePlan, readJob, readProcedure, type TestPlan } from '../../procedure/index.js';
import { canonicalJson, type Store, sha256Hex, type TestHeader } from '../../record/index.js';
import { type Judge, judgeStored } from '../checked-test.js';
import type { JudgedAgainReport, OtherProcedureReport, VerdictDifference } from './report-text.js';

/** What a tally came to: plain, to be handed from thread to thread. */
export interface JudgedPart {
  readonly report: JudgedAgainReport;
  readonly evaluations: readonly string[];
}

/** Counts what a judge comes to while verify has every test judged again, so that each is judged once. */
export class JudgedTally {
  readonly #store: Store;
  readonly #judge: Judge;
  readonly #differences: VerdictDifference[] = [];
  readonly #evaluations = new Set<string>();
  #tests = 0;
  #identical = 0;
  #otherEvaluation = 0;

  constructor(store: Store, judge: Judge) {
    this.#store = store;
    this.#judge = judge;
  }

  readonly judge: Judge = (header, inputs) => {
    const again = this.#judge(header, inputs);
    this.#compare(header, again);
    return again;
  };

  /** Versions of the evaluation that were used. */
  get evaluations(): string[] {
    return [...this.#evaluations].sort();
  }

  /** Takes over what another tally counted of other tests. */
  add({ evaluations, report }: JudgedPart): void {
    for (const version of evaluations) this.#evaluations.add(version);
    this.#tests += report.tests;
    this.#identical += report.identical;
    this.#otherEvaluation += report.otherEvaluation;
    for (const one of report.differences) this.#differences.push(one);
  }

  report(): JudgedAgainReport {
    return {
      tests: this.#tests,
      identical: this.#identical,
      otherEvaluation: this.#otherEvaluation,
      differences: this.#differences,
    };
  }

  #compare(header: TestHeader, again: TestResult): void {
    const stored = this.#store.has(header.test) ? this.#store.test(header.test).result : null;
    if (!stored) return;
    this.#tests += 1;
    this.#evaluations.add(again.evaluationVersion);
    if (stored.evaluationVersion !== again.evaluationVersion) this.#otherEvaluation += 1;
    if (canonicalJson(stored) === canonicalJson(again)) this.#identical += 1;
    else this.#differences.push(difference(header, stored, again));
  }
}

/** Another procedure, made ready to judge a stored test by. */
export interface OtherProcedure extends Pick<OtherProcedureReport, 'id' | 'title' | 'revision' | 'source' | 'sha256'> {
  /** The plan that it makes of a stored test. @throws DwellmarkError when it and the test's job don't go together. */
  readonly planOf: (header: TestHeader) => TestPlan;
  /** @throws DwellmarkError as `planOf`. */
  readonly judge: Judge;
}

/** Judges every sealed test by another procedure, beside the original, which stands. */
export function judgeByOther(
  store: Store,
  other: OtherProcedure,
  progress?: (done: number, of: number, test: string) => void,
): OtherProcedureReport {
  const { judge, planOf: _planOf, ...about } = other;
  const differences: VerdictDifference[] = [];
  const notJudged: { test: string; why: string }[] = [];
  let sameVerdict = 0;
  const sealed = store.tests({ order: 'oldest first' }).filter(({ verdict }) => verdict !== null);
  sealed.forEach(({ test }, index) => {
    progress?.(index, sealed.length, test);
    try {
      const { header, result } = store.test(test);
      if (!result) return;
      const again = judge(header, store.inputs(test));
      if (again.verdict === result.verdict) sameVerdict += 1;
      else differences.push(difference(header, result, again));
    } catch (error) {
      notJudged.push({ test, why: error instanceof Error ? error.message : String(error) });
    }
  });
  return { ...about, tests: sealed.length - notJudged.length, sameVerdict, differences, notJudged };
}

function difference(header: TestHeader, stored: TestResult, again: TestResult): VerdictDifference {
  return {
    test: header.test,
    customer: header.customer,
    serial: header.cylinder.serial,
    stored: stored.verdict,
    storedEvaluation: stored.evaluationVersion,
    again: again.verdict,
    evaluation: again.evaluationVersion,
    ports: again.ports.flatMap(({ port, verdict, reason }) => {
      const before = stored.ports.find((one) => one.port === port)?.verdict ?? null;
      return before === verdict ? [] : [{ port, stored: before, again: verdict, reason }];
    }),
  };
}

/**
 * A procedure file, made ready to judge stored tests by: on the job, the gauges and the ports as they were.
 * @param text the file's text
 * @param file its name, for errors
 * @throws DwellmarkError (`input`) when it is no procedure; its judge, when a test's job and it don't go together.
 */
export function otherProcedure(text: string, file: string): OtherProcedure {
  const procedure = readProcedure(text, { file });
  const sha256 = sha256Hex(Buffer.from(text, 'utf8'));
  const { id, title, revision, source } = procedure;
  const planOf = (header: TestHeader): TestPlan =>
    makePlan({
      job: readJob(header.jobText, { file: `job of ${header.test}` }),
      procedure,
      procedureSha256: sha256,
      asShipped: false,
      ...gaugesOfPlan(header.plan),
      attendance: header.plan.attendance,
      ports: header.plan.ports.map(({ port }): TestPlan['ports'][number]['port'] => port),
    }).plan;
  return {
    id,
    title,
    revision,
    source,
    sha256,
    planOf,
    judge: (header, inputs) => judgeStored({ ...header, plan: planOf(header) }, inputs),
  };
}
