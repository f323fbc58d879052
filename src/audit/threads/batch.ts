import type { EnrolledSigner, Store } from '../../record/index.js';
import { checkTests } from '../check-tests.js';
import { judgeStored } from '../checked-test.js';
import { type CheckReport, Findings } from '../findings.js';
import { type JudgedPart, JudgedTally } from '../report/judged.js';

/** How tests are checked in any thread: by this program's own judge. Plain, to be handed from thread to thread. */
export interface BatchTask {
  /** As the thread that puts the report together knows them: all check by the same. */
  readonly signers: readonly EnrolledSigner[];
  /** Whether it is counted, for an audit, what the judge comes to. */
  readonly tallied: boolean;
}

/** What was found of a few tests, in their order. */
export interface BatchFound {
  readonly report: CheckReport;
  readonly judged: JudgedPart | null;
}

export function checkBatch(store: Store, tests: readonly string[], { signers, tallied }: BatchTask): BatchFound {
  const findings = new Findings();
  const tally = tallied ? new JudgedTally(store, judgeStored) : null;
  checkTests(store, tests, { signers, judge: tally?.judge ?? judgeStored }, findings);
  return {
    report: findings.report(),
    judged: tally && { report: tally.report(), evaluations: tally.evaluations },
  };
}
