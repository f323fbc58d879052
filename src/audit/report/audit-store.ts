import { isoWithOffset, type LedgerMark, type Store } from '../../record/index.js';
import { isAct } from '../check-authority.js';
import { type Judge, judgeStored } from '../checked-test.js';
import type { CheckReport } from '../findings.js';
import { type LedgerEntry, ledgerEntry } from '../ledger-entry.js';
import type { OutsideAnchor } from '../outside-anchor.js';
import {
  type Credible,
  type Suspicion,
  type SuspicionOptions,
  suspicionKinds,
  suspicions,
  usuallyCredible,
} from '../suspicions/index.js';
import { type Threads, threadsHere } from '../threads/checking-thread.js';
import { type AllCoresOptions, verifyTallied } from '../threads/verify-on-all-cores.js';
import type { VerifyOptions } from '../verify.js';
import { JudgedTally, judgeByOther, type OtherProcedure } from './judged.js';
import type { AuditOutcome, AuditReport } from './report-text.js';

export interface AuditQuestion {
  readonly shop: AuditReport['shop'];
  /** Of this program. */
  readonly version: string;
  /** What papers from outside say of the store. */
  readonly papers?: readonly OutsideAnchor[];
  readonly credible?: Credible;
  readonly otherProcedure?: OtherProcedure;
  /** Wall clock; the computer's when absent. */
  readonly now?: () => Date;
  readonly progress?: (part: AuditPart, done: number, of: number, test: string) => void;
}

export type AuditPart = 'verifying' | 'comparing traces' | 'judging by the other procedure';

/**
 * Verifies a whole store, judges all of it again by this program's own judge, and goes through it for what doesn't look
 * right; tests of a large store are verified by several threads.
 * @param judge for tests that have their own; then one thread does it all
 */
export async function auditOnAllCores(
  store: Store,
  question: AuditQuestion & Pick<AllCoresOptions, 'threadLost'>,
  threads: Threads = threadsHere(),
  judge: Judge = judgeStored,
): Promise<AuditReport> {
  const begun = begin(store, question, judge);
  const { threadLost = () => undefined } = question;
  const options = { ...begun.verifying, threadLost };
  return lookThrough(store, question, begun, await verifyTallied(store, begun.tally, options, threads));
}

/** An audit whose store is verified next. */
interface BegunAudit {
  readonly startedAt: string;
  readonly ledger: LedgerMark;
  readonly tally: JudgedTally;
  readonly verifying: VerifyOptions;
}

const clockOf = ({ now }: AuditQuestion): (() => Date) => now ?? (() => new Date());

const progressOf =
  ({ progress }: AuditQuestion, name: AuditPart) =>
  (done: number, of: number, test: string) =>
    progress?.(name, done, of, test);

const begin = (store: Store, question: AuditQuestion, judge: Judge): BegunAudit => ({
  startedAt: isoWithOffset(clockOf(question)()),
  ledger: store.ledgerHead(),
  tally: new JudgedTally(store, judge),
  verifying: { papers: question.papers ?? [], progress: progressOf(question, 'verifying') },
});

function lookThrough(
  store: Store,
  question: AuditQuestion,
  { startedAt, ledger, tally }: BegunAudit,
  verification: CheckReport,
): AuditReport {
  const { papers = [], otherProcedure, credible = usuallyCredible } = question;
  const notLookedThrough: { test: string; why: string }[] = [];
  const unreadable = (test: string, why: unknown): void => {
    notLookedThrough.push({ test, why: why instanceof Error ? why.message : String(why) });
  };
  const suspected = lookedThrough(store, { credible, progress: progressOf(question, 'comparing traces'), unreadable });
  const found = suspected.map((one) => ({ ...one, certificates: standingOn(store, one.tests) }));
  const other = otherProcedure
    ? judgeByOther(store, otherProcedure, progressOf(question, 'judging by the other procedure'))
    : null;
  const judgedAgain = tally.report();
  const toLookInto = found.length > 0 || judgedAgain.differences.length > 0;
  const outcome: AuditOutcome = verification.problems.length > 0 ? 'altered' : toLookInto ? 'look' : 'clear';
  return {
    format: 'dwellmark audit report 1',
    shop: question.shop,
    software: { version: question.version, evaluations: tally.evaluations },
    startedAt,
    finishedAt: isoWithOffset(clockOf(question)()),
    ledger,
    anchors: papers.map(({ from, marks }) => ({ from, positions: marks.map(({ position }) => position) })),
    outcome,
    verification,
    judgedAgain,
    otherProcedure: other,
    authority: authorityOf(store),
    suspicions: found,
    lookedFor: (Object.keys(suspicionKinds) as (keyof typeof suspicionKinds)[]).map((kind) => ({
      kind,
      found: found.filter((one) => one.kind === kind).length,
      innocentIf: suspicionKinds[kind],
    })),
    credible,
    notLookedThrough,
  };
}

/** None where the ledger can't be read: that is told already. */
function authorityOf(store: Store): LedgerEntry[] {
  try {
    const signers = store.signers();
    return [...store.ledger()].filter(isAct).map((line) => ledgerEntry(line, signers));
  } catch {
    return [];
  }
}

/** A store so altered that its ledger can't be read yields no suspicions, and says so. */
function lookedThrough(store: Store, options: Required<SuspicionOptions>): Suspicion[] {
  try {
    return suspicions(store, options);
  } catch (why) {
    options.unreadable('all', why);
    return [];
  }
}

/** Numbers of the certificates that stand on tests, neither void nor replaced. */
const standingOn = (store: Store, tests: readonly string[]): string[] =>
  tests
    .filter((test) => store.has(test))
    .flatMap((test) => store.test(test).certificates)
    .filter(({ voided, replacedBy }) => voided === null && replacedBy === null)
    .map(({ number }) => number);
