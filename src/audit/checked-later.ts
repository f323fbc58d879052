import type { TestResult } from '../evaluation/index.js';
import type { ReadingColumns } from '../gauge/index.js';
import type { HoldInput } from '../holdtest/index.js';
import type { Answer, Ask, TestHeader } from '../record/index.js';
import type { Checking, JudgeAsk, JudgedOrNot } from './check-record.js';

/** A test being judged, an input or a stretch of readings at a time. */
export interface Judging {
  add(input: HoldInput): void;
  addReadings(readings: ReadingColumns): void;
  result(): TestResult;
}

/** Where answers take their time: a browser. */
export interface Surroundings {
  /** Digests and signatures. */
  answer(ask: Ask): Promise<Answer>;
  /** Begins to judge a test. */
  judging(header: TestHeader): Judging;
  /** Told of every reading as it is hashed, a chunk at a time. */
  readings?(count: number): void;
}

/** Drives a check to its end where digests take their time. The same check, the same findings. */
export async function checkedLater<Result>(work: Checking<Result>, around: Surroundings): Promise<Result> {
  let at = work.next();
  while (!at.done)
    at = work.next(at.value.ask === 'judge' ? await judged(at.value, around) : await around.answer(at.value));
  return at.value;
}

async function judged({ header, walking }: JudgeAsk, around: Surroundings): Promise<JudgedOrNot> {
  try {
    const judging = around.judging(header);
    let at = walking.next();
    while (!at.done) {
      const asked = at.value;
      if (asked.ask !== 'nothing') {
        at = walking.next(await around.answer(asked));
        continue;
      }
      if ('input' in asked) judging.add(asked.input);
      else {
        judging.addReadings(asked.readings);
        around.readings?.(asked.readings.length);
      }
      at = walking.next();
    }
    return { result: judging.result() };
  } catch (error) {
    return { error };
  }
}
