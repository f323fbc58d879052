import type { TestResult } from '../evaluation/index.js';
import type { HoldInput } from '../holdtest/index.js';
import type { TestHeader } from '../record/index.js';
import { answerNow } from '../signing/index.js';
import type { Walking } from './check-chain.js';
import type { Checking, JudgeAsk, JudgedOrNot } from './check-record.js';

/** Judges a test again from its header and inputs. */
export type Judge = (header: TestHeader, inputs: Iterable<HoldInput>) => TestResult;

/** Drives a check to its end without waiting: digests by node:crypto, the verdict by the judge. */
export function checkedNow<Result>(work: Checking<Result>, judge: Judge | null = null): Result {
  let at = work.next();
  while (!at.done) at = work.next(at.value.ask === 'judge' ? judged(at.value, judge) : answerNow(at.value));
  return at.value;
}

function judged({ header, walking }: JudgeAsk, judge: Judge | null): JudgedOrNot {
  try {
    if (judge === null) throw new Error('there is no judge');
    const inputs = walkedInputs(walking);
    return { result: judge(header, { [Symbol.iterator]: () => ({ next: () => inputs.next() }) }) };
  } catch (error) {
    return { error };
  }
}

/** The inputs as the walk comes to them. The judge may stop early: the walk stays where it is. */
function* walkedInputs(walking: Walking): Generator<HoldInput> {
  let at = walking.next();
  while (!at.done) {
    const asked = at.value;
    if (asked.ask !== 'nothing') {
      at = walking.next(answerNow(asked));
      continue;
    }
    if ('input' in asked) yield asked.input;
    else for (const reading of asked.readings) yield { kind: 'reading', reading };
    at = walking.next();
  }
}
