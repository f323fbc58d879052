import { Judgement, judge, type TestResult } from '../evaluation/index.js';
import type { HoldInputs, HoldStretch } from '../holdtest/index.js';
import { oneByOne, type Store, type StoredTest, type TestHeader } from '../record/index.js';
import { answerNow } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import { checkAuthority } from './check-authority.js';
import { checkLedger, type Walking } from './check-chain.js';
import type { Checking, JudgeAsk, JudgedOrNot } from './check-record.js';
import { checkTests } from './check-tests.js';
import { Findings, type Problem } from './findings.js';

/** Judges a test again from its header and inputs. */
export type Judge = (header: TestHeader, inputs: HoldInputs) => TestResult;

/** Drives a check to its end without waiting: digests by node:crypto, the verdict by the judge. */
export function checkedNow<Result>(work: Checking<Result>, judge: Judge | null = null): Result {
  let at = work.next();
  while (!at.done) at = work.next(at.value.ask === 'judge' ? judged(at.value, judge) : answerNow(at.value));
  return at.value;
}

function judged({ header, walking }: JudgeAsk, judge: Judge | null): JudgedOrNot {
  try {
    if (judge === null) throw new Error('there is no judge');
    const stretches = leftWhereItIs(walked(walking));
    return { result: judge(header, { [Symbol.iterator]: () => oneByOne(stretches), stretches: () => stretches }) };
  } catch (error) {
    return { error };
  }
}

/** A judge may stop early: what it goes through once must not be ended by that. */
function leftWhereItIs<T>(source: Iterator<T>): Iterable<T> {
  return { [Symbol.iterator]: () => ({ next: () => source.next() }) };
}

/** The inputs as the walk comes to them. */
function* walked(walking: Walking): Generator<HoldStretch> {
  let at = walking.next();
  while (!at.done) {
    const asked = at.value;
    if (asked.ask !== 'nothing') {
      at = walking.next(answerNow(asked));
      continue;
    }
    yield asked;
    at = walking.next();
  }
}

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

/** A test as it is about to be judged, with what was known beside its plan. */
export const judgementOf = (header: TestHeader): Judgement => new Judgement(header.plan, knownBeside(header));

/** Judges a stored test again, with what was known then. */
export const judgeStored = (header: TestHeader, inputs: HoldInputs): TestResult =>
  judge(header.plan, inputs, knownBeside(header));

const knownBeside = ({ benchCheck }: TestHeader) => ({ benchCheckLeakM3PerS: benchCheck?.leakM3PerS ?? null });
