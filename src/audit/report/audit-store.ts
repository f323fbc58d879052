import { isoWithOffset, type Store } from '../../record/index.js';
import type { Judge } from '../checked-now.js';
import type { OutsideAnchor } from '../outside-anchor.js';
import {
  type Credible,
  type Suspicion,
  type SuspicionOptions,
  suspicionKinds,
  suspicions,
  usuallyCredible,
} from '../suspicions/index.js';
import { verifyStore } from '../verify.js';
import type { AuditOutcome, AuditReport } from './audit-report.js';
import { JudgedTally, judgeByOther, type OtherProcedure } from './judged.js';

export interface AuditQuestion {
  readonly shop: AuditReport['shop'];
  /** Of this program. */
  readonly version: string;
  readonly judge: Judge;
  /** What papers from outside say of the store. */
  readonly papers?: readonly OutsideAnchor[];
  readonly credible?: Credible;
  readonly otherProcedure?: OtherProcedure;
  /** Wall clock; the computer's when absent. */
  readonly now?: () => Date;
  readonly progress?: (part: AuditPart, done: number, of: number, test: string) => void;
}

export type AuditPart = 'verifying' | 'comparing traces' | 'judging by the other procedure';

/** Verifies a whole store, judges all of it again, and goes through it for what doesn't look right. */
export function auditStore(store: Store, question: AuditQuestion): AuditReport {
  const { judge, papers = [], otherProcedure, credible = usuallyCredible, now = () => new Date() } = question;
  const startedAt = isoWithOffset(now());
  const ledger = store.ledgerHead();
  const part = (name: AuditPart) => (done: number, of: number, test: string) =>
    question.progress?.(name, done, of, test);
  const tally = new JudgedTally(store, judge);
  const verification = verifyStore(store, tally.judge, { papers, progress: part('verifying') });
  const notLookedThrough: { test: string; why: string }[] = [];
  const unreadable = (test: string, why: unknown): void => {
    notLookedThrough.push({ test, why: why instanceof Error ? why.message : String(why) });
  };
  const suspected = lookedThrough(store, { credible, progress: part('comparing traces'), unreadable });
  const found = suspected.map((one) => ({ ...one, certificates: standingOn(store, one.tests) }));
  const other = otherProcedure ? judgeByOther(store, otherProcedure, part('judging by the other procedure')) : null;
  const judgedAgain = tally.report();
  const toLookInto = found.length > 0 || judgedAgain.differences.length > 0;
  const outcome: AuditOutcome = verification.problems.length > 0 ? 'altered' : toLookInto ? 'look' : 'clear';
  return {
    format: 'dwellmark audit report 1',
    shop: question.shop,
    software: { version: question.version, evaluations: tally.evaluations },
    startedAt,
    finishedAt: isoWithOffset(now()),
    ledger,
    anchors: papers.map(({ from, marks }) => ({ from, positions: marks.map(({ position }) => position) })),
    outcome,
    verification,
    judgedAgain,
    otherProcedure: other,
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
