import {
  headerHead,
  type LedgerLine,
  type Store,
  summaryRow,
  type TestFilter,
  type TestHeader,
  type TestLine,
} from '../record/index.js';
import { demandNone, demandSoundLedger } from './checked-test.js';
import { Findings } from './findings.js';

/** So many tests of a list, and so many lines of a ledger, are gone through; more would take longer than a person waits. */
const [mostTests, mostLedgerLines] = [5000, 20_000];

/** A list of tests, and whether its lines were held against the record. */
export interface ListedTests {
  readonly tests: readonly TestLine[];
  readonly checked: boolean;
}

/**
 * Tests by what is asked, each line held against the header it is drawn from and against what the ledger says was sealed,
 * and the ledger against its chain: all where the store is not too large for it. Whether a test was passed over shows in
 * {@link demandFindable} alone; whether a verdict follows from its readings, where one test is checked.
 * @throws DwellmarkError (`altered`) naming the first line that does not agree.
 */
export const listedTests = (store: Store, filter: TestFilter): ListedTests =>
  store.atOneMoment(() => {
    const tests = store.tests(filter);
    const [few, short] = [tests.length <= mostTests, store.ledgerHead().position <= mostLedgerLines];
    const findings = new Findings();
    if (few)
      for (const { test } of tests) checkFindable(store, test, store.acts('test started', { test })[0], findings);
    demandNone(findings.report().problems, 'the list of tests');
    if (short) demandSoundLedger(store);
    return { tests, checked: few && short };
  });

/**
 * The columns by which tests are found must follow from headers that the ledger names, or a search could pass a test
 * over. @throws DwellmarkError (`altered`) naming the first that does not.
 */
export function demandFindable(store: Store): void {
  const findings = new Findings();
  store.atOneMoment(() => {
    const started = new Map(store.acts('test started').map((line) => [line.test, line]));
    for (const test of store.raw.testNames()) checkFindable(store, test, started.get(test), findings);
    for (const test of started.keys())
      if (test !== null && !store.has(test)) findings.problem(`test ${test}`, 'is in the ledger and not in the store');
  });
  demandNone(findings.report().problems, 'the list of tests');
}

function checkFindable(store: Store, test: string, started: LedgerLine | undefined, findings: Findings): void {
  const where = `test ${test}`;
  findings.tried(where, () => {
    const raw = store.raw.test(test);
    if (!raw || raw.header === null) return findings.problem(`${where}, header`, 'is missing');
    const head = headerHead(Buffer.from(raw.header)).toString('hex');
    findings.same(`${where}, header`, 'the head', head, started?.body.header);
    const row = summaryRow(JSON.parse(raw.header) as TestHeader);
    for (const [name, value] of Object.entries(row)) findings.same(where, name, raw.columns[name], value);
    const sealed = store.acts('test sealed', { test })[0]?.body;
    findings.same(where, 'the verdict in the list', raw.seal?.verdict, sealed?.verdict);
    findings.same(where, 'the sealed head', raw.seal?.head, sealed?.head);
  });
}
