import type { TestResult } from '../evaluation/index.js';
import type { HoldInputs, HoldStretch } from '../holdtest/index.js';
import { oneByOne, type TestHeader } from '../record/index.js';
import { answerNow } from '../signing/index.js';
import type { Walking } from './check-chain.js';
import type { Checking, JudgeAsk, JudgedOrNot } from './check-record.js';

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
