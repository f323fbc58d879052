import type { TestResult, Verdict } from '../evaluation/index.js';
import { canonicalJson, type Store, type TestFilter } from '../record/index.js';
import type { Judge } from './checked-now.js';

/** One test judged again, beside what was stored. */
export interface JudgedAgain {
  readonly test: string;
  readonly customer: string;
  readonly serial: string;
  readonly stored: Verdict;
  readonly again: Verdict;
  /** Judged by the same version of the evaluation as then. */
  readonly sameEvaluation: boolean;
  /** Every figure came out the same, to the last bit. */
  readonly identical: boolean;
  readonly result: TestResult;
}

/** Judges sealed tests again, by the same rule or by another (a changed procedure is the judge's affair). */
export function* judgeAgain(store: Store, judge: Judge, filter: TestFilter = {}): Iterable<JudgedAgain> {
  for (const { test, customer, serial } of store.tests({ order: 'oldest first', ...filter })) {
    const { header, result: stored } = store.test(test);
    if (!stored) continue;
    const result = judge(header, store.inputs(test));
    yield {
      test,
      customer,
      serial,
      stored: stored.verdict,
      again: result.verdict,
      sameEvaluation: stored.evaluationVersion === result.evaluationVersion,
      identical: canonicalJson(stored) === canonicalJson(result),
      result,
    };
  }
}
