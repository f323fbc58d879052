import {
  type EnrolledSigner,
  type LedgerMark,
  type RawTest,
  type Store,
  searchText,
  sha256Hex,
  summaryRow,
  unpackBlock,
} from '../record/index.js';
import type { Stretch } from './check-chain.js';
import { checkLedger } from './check-ledger.js';
import { checkRecord, type ReadRecord } from './check-record.js';
import { checkSignatures } from './check-signatures.js';
import { checkedNow, type Judge } from './checked-now.js';
import { type CheckReport, Findings } from './findings.js';
import type { OutsideAnchor } from './outside-anchor.js';
import { dispositionFault } from './recall/disposition.js';

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
  checkPapers(store, options, findings);
  const signers = findings.tried('ledger, signers', () => store.signers()) ?? [];
  checkStoredTest(store, test, judge, signers, findings);
  return concluded(findings, judge);
}

/** Checks everything: the file itself, the ledger, every test, every kept file. */
export function verifyStore(store: Store, judge: Judge | null, options: VerifyOptions = {}): CheckReport {
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
  checkPapers(store, options, findings);
  const signers = findings.tried('ledger, signers', () => store.signers()) ?? [];
  names.forEach((test, index) => {
    options.progress?.(index, names.length, test);
    checkStoredTest(store, test, judge, signers, findings);
  });
  checkAttachments(store, findings);
  checkDecisions(store, signers, findings);
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
    const { test, head } = sealed;
    findings.tried(`anchor, test ${test}`, () => {
      if (!store.has(test)) findings.problem(`anchor, test ${test}`, 'is not in the store');
      else if (store.test(test).head === head)
        findings.checked(`test ${test}: the store still holds the record that the anchor stands on`);
      else findings.problem(`anchor, test ${test}`, 'the store holds another record of it than the anchor');
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

function checkStoredTest(
  store: Store,
  test: string,
  judge: Judge | null,
  signers: readonly EnrolledSigner[],
  findings: Findings,
): void {
  const where = `test ${test}`;
  findings.tried(where, () => {
    const raw = store.raw.test(test);
    if (!raw) return findings.problem(where, 'is not in the store');
    if (raw.header === null) return findings.problem(`${where}, header`, 'is missing');
    const found = checkRecord(
      {
        test,
        headerText: raw.header,
        stretches: storedStretches(store, raw, test),
        sealText: raw.seal?.text ?? null,
        head: raw.seal?.head ?? null,
      },
      judge !== null,
      findings,
    );
    const read = checkedNow(found, judge);
    if (!read) return;
    findings.tried(where, () => checkColumns(raw, read, where, findings));
    findings.tried(where, () => checkActs(store, test, read, findings));
    findings.tried(where, () =>
      checkedNow(checkSignatures(test, read.head, store.test(test).signatures, signers, findings)),
    );
    if (!read.seal)
      findings.notChecked(`${where}: never sealed, so it has no verdict and its newest end may be missing`);
  });
}

/** The stored links with what their rows say: blocks first, then links not yet packed. */
function* storedStretches(store: Store, raw: RawTest, test: string): Iterable<Stretch> {
  let packed = 0;
  for (const block of store.raw.blocks(raw.id)) {
    const { firstSeq, links, head } = block;
    packed = firstSeq + links - 1;
    yield { links: unpackBlock(block.payload, firstSeq), claims: { firstSeq, count: links, head, look: block } };
  }
  if (raw.freshLinks === 0) return;
  for (const link of store.links(test))
    if (link.seq > packed && link.head)
      yield { links: [link], claims: { firstSeq: link.seq, count: 1, head: link.head, look: null } };
}

/** The columns a test is found by, and the full text, hold nothing of their own: they must follow from the record. */
function checkColumns(raw: RawTest, read: ReadRecord, where: string, findings: Findings): void {
  findings.same(`${where}, header`, 'the head', raw.head, read.headerHead);
  const row: Readonly<Record<string, unknown>> = { ...summaryRow(read.header) };
  for (const [name, value] of Object.entries(row)) findings.same(where, name, raw.columns[name], value);
  if (!read.seal) return;
  findings.same(where, 'the verdict in the list', raw.seal?.verdict, read.seal.result.verdict);
  findings.same(where, 'the number of readings in the list', raw.seal?.readings, read.seal.readings);
  findings.same(where, 'the number of links left unpacked', raw.freshLinks, 0);
  findings.same(
    where,
    'the text it is searched by',
    raw.searchTexts.join('\u0000'),
    searchText(read.header, read.notes),
  );
}

/** What the ledger says of a test must be what the test says of itself. */
function checkActs(store: Store, test: string, read: ReadRecord, findings: Findings): void {
  const where = `test ${test}, ledger`;
  const started = store.acts('test started', { test });
  const sealed = store.acts('test sealed', { test });
  findings.same(where, 'the number of lines "test started"', started.length, 1);
  findings.same(where, 'the number of lines "test sealed"', sealed.length, read.seal ? 1 : 0);
  findings.same(where, 'the header', started[0]?.body.header, read.headerHead);
  if (read.seal) {
    findings.same(where, 'the sealed head', sealed[0]?.body.head, read.head);
    findings.same(where, 'the verdict', sealed[0]?.body.verdict, read.seal.result.verdict);
  }
  for (const certificate of store.acts('certificate issued', { test })) {
    findings.counts.certificates += 1;
    if (certificate.body.head !== read.head)
      findings.problem(`certificate ${certificate.subject}`, `stands on another record than test ${test} has`);
    if (!read.seal || read.seal.readings === 0)
      findings.problem(`certificate ${certificate.subject}`, `test ${test} has no sealed trace`);
  }
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
