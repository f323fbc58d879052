import type { Store, StoredTest } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import { checkAuthority } from './check-authority.js';
import { checkLedger } from './check-ledger.js';
import { checkTests } from './check-tests.js';
import type { Judge } from './checked-now.js';
import { Findings, type Problem } from './findings.js';

/**
 * Checks that must come before anything is done with a test: before it is shown for a signature, signed, certified,
 * voided or recalled. The ledger and the guards of the file are checked now; the returned function checks one test
 * (header, chain, seal, signatures, ledger lines; the verdict where there is a judge) and gives it back.
 * @throws DwellmarkError (`altered`) naming the first discrepancy: the caller must do nothing then.
 */
export function testChecker(store: Store, judge: Judge | null): (test: string) => StoredTest {
  demandSoundLedger(store);
  return (test) => {
    const findings = new Findings();
    const stored = store.test(test);
    checkTests(store, [test], { signers: store.signers(), judge }, findings);
    demandNone(findings.report().problems, `test ${test}`);
    return stored;
  };
}

/**
 * The ledger and the guards of the file, checked before anything is done on the word of the ledger: people enrolled or
 * revoked, a certificate renewed. @throws DwellmarkError (`altered`) naming the first discrepancy.
 */
export function demandSoundLedger(store: Store): void {
  const ledger = new Findings();
  store.atOneMoment(() => {
    for (const name of store.raw.foreignSchema()) ledger.problem('file', `${name} is not as this program makes it`);
    ledger.tried('ledger', () => checkLedger(store.raw, [], ledger));
    ledger.tried('ledger', () => checkAuthority(store, ledger));
  });
  demandNone(ledger.report().problems, 'the ledger');
}

/** One test, checked as {@link testChecker} does. */
export const checkedTest = (store: Store, test: string, judge: Judge | null): StoredTest =>
  testChecker(store, judge)(test);

/** @throws DwellmarkError (`altered`) that names the first. */
export function demandNone(problems: readonly Problem[], what: string): void {
  const [first] = problems;
  if (!first) return;
  const more = problems.length > 1 ? ` (and ${problems.length - 1} more)` : '';
  throw new DwellmarkError('altered', `${what} was altered: ${first.where}: ${first.what}${more}`, {
    advice: 'Nothing was done. Run `dwellmark verify --all`, and go back to the last good backup.',
  });
}
