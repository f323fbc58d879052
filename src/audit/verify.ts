import { type EnrolledSigner, type LedgerMark, type Store, sha256Hex } from '../record/index.js';
import { checkAuthority } from './check-authority.js';
import { checkLedger } from './check-chain.js';
import { checkTests } from './check-tests.js';
import type { Judge } from './checked-test.js';
import { type CheckReport, Findings } from './findings.js';
import type { OutsideAnchor } from './outside-anchor.js';
import { dispositionFault } from './recall/disposition.js';
import { checkStanding } from './standing.js';

export interface VerifyOptions {
  /** Ledger positions and heads from outside: from certificates, or noted down at an earlier audit. */
  readonly anchors?: readonly LedgerMark[];
  /** Certificates and other files from outside: their positions and heads, and the tests they stand on. */
  readonly papers?: readonly OutsideAnchor[];
  /** Told before each test, for a progress line. */
  readonly progress?: (done: number, of: number, test: string) => void;
}

/**
 * Checks one test: its record against its chain, its seal against the ledger, its verdict judged again, its
 * signatures; and the whole ledger, on which these stand. Without a judge verdicts are not judged again.
 */
export function verifyTest(store: Store, test: string, judge: Judge | null, options: VerifyOptions = {}): CheckReport {
  const findings = new Findings();
  store.test(test);
  findings.tried('ledger', () => checkLedger(store.raw, marksOf(options), findings));
  findings.tried('ledger, authority', () => checkAuthority(store, findings));
  checkPapers(store, options, findings);
  const signers = findings.tried('ledger, signers', () => store.signers()) ?? [];
  checkTests(store, [test], { signers, judge }, findings);
  return concluded(findings, judge);
}

/** Checks everything: the file itself, the ledger, every test, every kept file. In this thread, without waiting. */
export function verifyStore(store: Store, judge: Judge | null, options: VerifyOptions = {}): CheckReport {
  const begun = beforeTests(store, options);
  const { names, signers, findings } = begun;
  checkTests(store, names, { signers, judge, progress: options.progress }, findings);
  return afterTests(store, judge, begun);
}

/** A check of a whole store whose tests come next. */
export interface StoreCheck {
  readonly findings: Findings;
  /** Of all tests, in the order they were started. */
  readonly names: readonly string[];
  readonly signers: readonly EnrolledSigner[];
}

/** Checks what stands before the tests: the file itself, the ledger, papers from outside, as they are at one moment. */
export const beforeTests = (store: Store, options: VerifyOptions): StoreCheck =>
  store.atOneMoment(() => checkBefore(store, options));

function checkBefore(store: Store, options: VerifyOptions): StoreCheck {
  const findings = new Findings();
  findings.tried('file', () => {
    for (const fault of store.raw.faults()) findings.problem('file', fault);
  });
  const names = findings.tried('tests', () => store.raw.testNames()) ?? [];
  const known = new Set(names);
  findings.tried('ledger', () =>
    checkLedger(store.raw, marksOf(options), findings, ({ position, test, kind }) => {
      if (test !== null && !known.has(test))
        findings.problem(`ledger line ${position}`, `"${kind}" is about test ${test}, which is not in the store`);
    }),
  );
  findings.tried('ledger, authority', () => checkAuthority(store, findings));
  checkPapers(store, options, findings);
  const signers = findings.tried('ledger, signers', () => store.signers()) ?? [];
  return { findings, names, signers };
}

/** Checks what stands after the tests, and says what all of it came to. */
export function afterTests(store: Store, judge: Judge | null, { findings, signers }: StoreCheck): CheckReport {
  store.atOneMoment(() => {
    checkAttachments(store, findings);
    checkDecisions(store, signers, findings);
  });
  findings.checked('the file: pages, indexes, guards against change');
  findings.checked('every kept file against its SHA-256');
  return concluded(findings, judge);
}

const marksOf = ({ anchors = [], papers = [] }: VerifyOptions): LedgerMark[] => [
  ...anchors,
  ...papers.flatMap(({ marks }) => marks),
];

/** What a paper from outside says of a sealed test must be so here too. */
function checkPapers(store: Store, { papers = [] }: VerifyOptions, findings: Findings): void {
  for (const { sealed, problems } of papers) {
    for (const { where, what } of problems) findings.problem(`anchor ${where}`, what);
    if (!sealed) continue;
    const { test, head, number } = sealed;
    findings.tried(`anchor, test ${test}`, () => {
      if (!store.has(test)) findings.problem(`anchor, test ${test}`, 'is not in the store');
      else if (store.test(test).head === head)
        findings.checked(`test ${test}: the store still holds the record that the anchor stands on`);
      else findings.problem(`anchor, test ${test}`, 'the store holds another record of it than the anchor');
      checkStanding(store, { test, number }, findings);
    });
  }
}

function concluded(findings: Findings, judge: Judge | null): CheckReport {
  findings.checked('the ledger: every line on the one before');
  findings.checked('headers, chunks, quick-look figures and seals against the hash chain and the ledger');
  findings.checked('signatures: on this record, by a key enrolled then and not revoked');
  if (judge) findings.checked('verdicts: judged again from the stored readings, to the last bit');
  else findings.notChecked('verdicts: nothing was judged again');
  findings.notChecked('whether the wall clock was right, and whether a key was used by the person it belongs to');
  return findings.report();
}

function checkAttachments(store: Store, findings: Findings): void {
  findings.tried('kept files', () => {
    const kept = new Set<string>();
    for (const { sha256, bytes } of store.raw.attachments()) {
      kept.add(sha256);
      findings.same(`kept file ${sha256}`, 'the SHA-256', sha256, sha256Hex(bytes));
    }
    for (const { position, body } of store.acts('calibration entered'))
      if (typeof body.attachment === 'string' && !kept.has(body.attachment))
        findings.problem(`ledger line ${position}`, `the calibration's file ${body.attachment} is missing`);
  });
}

/** Decisions of recalls that were signed: by the person they name, and for the test they stand with. */
function checkDecisions(store: Store, signers: readonly EnrolledSigner[], findings: Findings): void {
  findings.tried('recall decisions', () => {
    const keys = new Map(signers.map(({ id, publicKey }) => [id, publicKey]));
    for (const line of store.acts('recall disposition')) {
      const fault = dispositionFault(line, keys);
      if (fault !== null) findings.problem(`ledger line ${line.position}, decision on test ${line.test}`, fault);
    }
  });
}
