import type { Verdict } from '../../evaluation/index.js';
import type { LedgerMark } from '../../record/index.js';
import type { CheckReport } from '../findings.js';
import type { LedgerEntry } from '../ledger-entry.js';
import type { Credible, Suspicion, SuspicionKind } from '../suspicions/index.js';

/** What an audit of a whole store did, when, with which program, and what it came to. Plain JSON; numbers in SI. */
export interface AuditReport {
  readonly format: 'dwellmark audit report 1';
  readonly shop: { readonly name: string; readonly address: string };
  readonly software: {
    readonly version: string;
    /** Versions of the evaluation that verdicts were judged by again. */
    readonly evaluations: readonly string[];
  };
  /** ISO 8601 with offset. */
  readonly startedAt: string;
  readonly finishedAt: string;
  /** The newest end of the ledger when the audit began: the anchor that a later audit holds against the store. */
  readonly ledger: LedgerMark;
  /** What from outside the store was held against. */
  readonly anchors: readonly { readonly from: string; readonly positions: readonly number[] }[];
  readonly outcome: AuditOutcome;
  /** What was checked, what could not be, and what does not agree. */
  readonly verification: CheckReport;
  /** Every sealed test judged again as it was judged then. */
  readonly judgedAgain: JudgedAgainReport;
  /** Every sealed test judged by another procedure, when one was named. */
  readonly otherProcedure: OtherProcedureReport | null;
  /** Enrolments, revocations, voids, reissues, corrections and renewals: who did each, with which key, and why. */
  readonly authority: readonly LedgerEntry[];
  /** Each with the certificates that stand on its tests. */
  readonly suspicions: readonly (Suspicion & { readonly certificates: readonly string[] })[];
  /** Every kind of thing that was looked for, with how often it was found: also those not found. */
  readonly lookedFor: readonly { readonly kind: SuspicionKind; readonly found: number; readonly innocentIf: string }[];
  readonly credible: Credible;
  /** Tests that could not be looked through, and why. */
  readonly notLookedThrough: readonly { readonly test: string; readonly why: string }[];
}

/** `altered`: something stored was changed. `look`: nothing altered, but a person must look at something. */
export type AuditOutcome = 'altered' | 'look' | 'clear';

export interface JudgedAgainReport {
  readonly tests: number;
  /** Every figure the same to the last bit. */
  readonly identical: number;
  /** Judged then by another version of the evaluation. */
  readonly otherEvaluation: number;
  readonly differences: readonly VerdictDifference[];
}

/** A test that comes out differently now. */
export interface VerdictDifference {
  readonly test: string;
  readonly customer: string;
  /** The cylinder's. */
  readonly serial: string;
  readonly stored: Verdict;
  readonly storedEvaluation: string;
  readonly again: Verdict;
  readonly evaluation: string;
  /** What is now said of the ports whose verdict changed. */
  readonly ports: readonly {
    readonly port: string;
    readonly stored: Verdict | null;
    readonly again: Verdict;
    readonly reason: string;
  }[];
}

export interface OtherProcedureReport {
  readonly id: string;
  readonly title: string;
  readonly revision: string;
  readonly source: string;
  readonly sha256: string;
  readonly tests: number;
  readonly sameVerdict: number;
  readonly differences: readonly VerdictDifference[];
  /** Tests that it can't be applied to, and why. */
  readonly notJudged: readonly { readonly test: string; readonly why: string }[];
}
