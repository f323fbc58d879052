import type { Verdict } from '../../evaluation/index.js';
import { wrap } from '../../procedure/index.js';
import type { LedgerMark } from '../../record/index.js';
import { spell, type UnitSystem } from '../../units/index.js';
import type { CheckReport } from '../findings.js';
import { entryText, type LedgerEntry } from '../ledger-entry.js';
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

/** An audit report for a person to read, at most 80 columns wide, figures in the reader's units. Nothing is left out. */
export function auditText(report: AuditReport, system: UnitSystem): string[] {
  const { shop, software, ledger, anchors, verification } = report;
  const { counts, checked, notChecked, problems } = verification;
  return [
    ...wrap(`Audit of the record of ${[shop.name, shop.address].filter((text) => text !== '').join(', ')}`, 0, 2),
    `from ${report.startedAt} to ${report.finishedAt}`,
    `with dwellmark ${software.version}, evaluation ${software.evaluations.join(' and ') || 'none'}`,
    `ledger line ${ledger.position}, head ${ledger.head}`,
    ...anchors.map(({ from, positions }) => `held against ${from}: ledger ${positions.join(', ')}`),
    ...wrap(
      `${counts.tests} tests, ${counts.readings} readings, ${counts.signatures} signatures, ${counts.certificates} certificates, ${counts.ledgerLines} ledger lines`,
      0,
      2,
    ),
    '',
    ...wrap(`Outcome: ${outcomeText(report)}`, 0, 2),
    '',
    'Checked',
    ...checked.flatMap((text) => wrap(text, 2, 4)),
    '',
    'Not checked',
    ...notChecked.flatMap((text) => wrap(text, 2, 4)),
    ...section(
      `Altered or unverifiable: ${problems.length}`,
      problems.flatMap(({ where, what }) => wrap(`${where}: ${what}`, 2, 4)),
    ),
    ...judgedLines(report, system),
    ...section(
      `Enrolled, revoked, voided, reissued, corrected: ${report.authority.length}`,
      report.authority.flatMap((entry) => wrap(entryText(entry).trim(), 2, 4)),
    ),
    ...suspicionLines(report, system),
  ];
}

/** What it came to, in one sentence. */
export function outcomeText({ verification, suspicions, judgedAgain, outcome }: AuditReport): string {
  const looks = [
    ...(suspicions.length > 0 ? [`${count(suspicions.length, 'thing')} to look into`] : []),
    ...(judgedAgain.differences.length > 0
      ? [`${count(judgedAgain.differences.length, 'test')} judged otherwise now`]
      : []),
  ];
  if (outcome === 'altered')
    return [
      `ALTERED OR UNVERIFIABLE: ${count(verification.problems.length, 'thing')} ${verification.problems.length === 1 ? 'does' : 'do'} not agree`,
      ...looks,
    ].join('; ');
  if (outcome === 'clear') return 'nothing checked was altered, and nothing looked for was found';
  return ['nothing checked was altered', ...looks].join('; ');
}

function judgedLines({ judgedAgain, otherProcedure: other }: AuditReport, system: UnitSystem): string[] {
  const { tests, identical, otherEvaluation, differences } = judgedAgain;
  const older = otherEvaluation > 0 ? `; ${otherEvaluation} had been judged by another evaluation than now` : '';
  const lines = section('Judged again', [
    ...wrap(`${count(tests, 'test')}; ${identical} came out the same to the last bit${older}`, 2, 4),
    ...differences.flatMap((one) => differenceLines(one, system)),
  ]);
  if (!other) return lines;
  return [
    ...lines,
    ...section(
      `Judged by ${other.title} (${other.id}), revision ${other.revision}, beside the original, which stands`,
      [
        ...wrap(`limits set by: ${other.source}`, 2, 4),
        `  SHA-256 ${other.sha256}`,
        ...wrap(`${count(other.tests, 'test')}; ${other.sameVerdict} came to the same verdict`, 2, 4),
        ...other.differences.flatMap((one) => differenceLines(one, system)),
        ...other.notJudged.flatMap(({ test, why }) =>
          wrap(`${test}: it can't be applied: ${spell(why, system)}`, 2, 4),
        ),
      ],
    ),
  ];
}

function differenceLines(
  { test, customer, serial, stored, again, ports, ...of }: VerdictDifference,
  system: UnitSystem,
) {
  const evaluations =
    of.storedEvaluation === of.evaluation ? '' : ` (evaluation ${of.storedEvaluation}, now ${of.evaluation})`;
  const verdict = stored === again ? `${stored} as stored, with other figures` : `stored as ${stored}, now ${again}`;
  return [
    ...wrap(`${test}  ${verdict}${evaluations}; ${customer}, cylinder ${serial}`, 2, 4),
    ...ports.flatMap(({ port, reason }) => wrap(`port ${port}: ${spell(reason, system)}`, 6, 8)),
  ];
}

function suspicionLines(
  { suspicions, lookedFor, credible, notLookedThrough }: AuditReport,
  system: UnitSystem,
): string[] {
  const notFound = lookedFor.filter(({ found }) => found === 0).map(({ kind }) => kind);
  return [
    ...section(`What does not look right: ${suspicions.length}`, [
      ...(suspicions.length > 0 ? ['  Each is a question with its evidence. None is a verdict.'] : []),
      ...suspicions.flatMap(({ kind, tests, text, evidence, certificates }, index) => {
        const facts = Object.entries(evidence).map(([name, value]) => `${name} ${value}`);
        const innocent = lookedFor.find((one) => one.kind === kind)?.innocentIf ?? '';
        return [
          ...wrap(`${String(index + 1).padStart(3)}  ${kind}: ${spell(text, system)}`, 2, 7),
          ...(tests.length > 2 ? wrap(`tests: ${tests.join(' ')}`, 7, 9) : []),
          ...(certificates.length > 0 ? wrap(`certificates that stand on it: ${certificates.join(' ')}`, 7, 9) : []),
          ...wrap(`evidence: ${facts.join('; ')}`, 7, 9),
          ...wrap(`may be: ${innocent}`, 7, 9),
        ];
      }),
    ]),
    ...section('Looked for and not found', [
      ...wrap(`${notFound.join(', ')} (credible in a shift: ${credible.testsAShift} tests)`, 2, 4),
      ...notLookedThrough.flatMap(({ test, why }) => wrap(`not looked through: ${test}: ${why}`, 2, 4)),
    ]),
  ];
}

const section = (title: string, lines: readonly string[]): string[] => ['', ...wrap(title, 0, 2), ...lines];

const count = (number: number, what: string): string => `${number} ${what}${number === 1 ? '' : 's'}`;
