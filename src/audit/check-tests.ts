import {
  type EnrolledSigner,
  type RawTest,
  type Store,
  type StoredSignature,
  searchText,
  summaryRow,
  unpackBlock,
} from '../record/index.js';
import { checkCorrections } from './check-authority.js';
import type { Stretch } from './check-chain.js';
import { checkRecord, checkSignatures, type ReadRecord } from './check-record.js';
import { checkedNow, type Judge } from './checked-test.js';
import type { Findings } from './findings.js';

/** What tests of a store are checked by. */
export interface TestCheck {
  readonly signers: readonly EnrolledSigner[];
  /** Without one verdicts are not judged again. */
  readonly judge: Judge | null;
  /** Told before each test. */
  readonly progress?: ((done: number, of: number, test: string) => void) | undefined;
}

/**
 * Checks tests of a store one after another: each by itself, whatever was found of the others, and each as it stood at
 * one moment, or one that is sealed just now would not agree with the ledger.
 */
export function checkTests(store: Store, tests: readonly string[], check: TestCheck, findings: Findings): void {
  tests.forEach((test, index) => {
    check.progress?.(index, tests.length, test);
    store.atOneMoment(() => checkTest(store, test, check, findings));
  });
}

function checkTest(store: Store, test: string, { judge, signers }: TestCheck, findings: Findings): void {
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
    findings.tried(where, () => checkCorrections(read.header, store.acts('test corrected', { test }), findings));
    findings.tried(where, () => {
      const { signatures } = store.test(test);
      const known = signersOf(store, signatures, signers);
      checkedNow(checkSignatures(test, read.head, signatures, known, findings));
    });
    if (!read.seal)
      findings.notChecked(`${where}: never sealed, so it has no verdict and its newest end may be missing`);
  });
}

/** Who was enrolled when the check began; everyone there is now where somebody else has signed since. */
const signersOf = (
  store: Store,
  signatures: readonly StoredSignature[],
  signers: readonly EnrolledSigner[],
): readonly EnrolledSigner[] =>
  signatures.every(({ signer }) => signers.some(({ id }) => id === signer.id)) ? signers : store.signers();

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
