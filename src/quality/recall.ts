import {
  type Decided,
  decideRecall,
  demandFindable,
  judgeStored,
  type RecallDecision,
  type RecallLine,
  type RecallQuestion,
  recall,
  testChecker,
} from '../audit/index.js';
import type { Store } from '../record/index.js';

/**
 * Tests that relied on a gauge, each checked before anything is said of it; and that no test is hidden from the search.
 * @throws DwellmarkError (`altered`) for a test, a ledger or a column that is not as it was written.
 */
export function recallLines(
  store: Store,
  question: RecallQuestion,
  progress?: (done: number, of: number, test: string) => void,
): RecallLine[] {
  demandFindable(store);
  const check = testChecker(store, judgeStored);
  const lines: RecallLine[] = [];
  for (const line of recall(store, question, judgeStored, progress)) {
    check(line.test);
    lines.push(line);
  }
  return lines;
}

/** Puts a decision down for tests that {@link recallLines} listed, each checked once more. */
export function* decideOnRecall(
  store: Store,
  lines: readonly RecallLine[],
  decision: RecallDecision,
): Iterable<Decided> {
  const check = testChecker(store, judgeStored);
  for (const { test } of lines) check(test);
  yield* decideRecall(store, lines, decision);
}
