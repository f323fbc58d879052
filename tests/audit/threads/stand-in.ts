import { setImmediate } from 'node:timers/promises';
import type { BatchFound } from '../../../src/audit/threads/batch.js';
import type { CheckingThread } from '../../../src/audit/threads/checking-thread.js';
import { seeded } from '../../record/sample-test.js';

/** How a stand-in for a thread behaves. */
export interface Behaviour {
  readonly check: (tests: readonly string[]) => BatchFound;
  readonly seed?: number;
  /** Batches that it answers before it dies; without end when absent. */
  readonly answers?: number;
}

/** Answers in this thread, one batch after another, each after a wait drawn by chance; may die as a thread can. */
export function standIn({ check, seed = 1, answers = Number.POSITIVE_INFINITY }: Behaviour): CheckingThread {
  const random = seeded(seed);
  let left = answers;
  let last: Promise<unknown> = Promise.resolve();
  const answer = async (tests: readonly string[]): Promise<BatchFound> => {
    await last.catch(() => undefined);
    for (let turns = random() * 20; turns > 0; turns -= 1) await setImmediate();
    left -= 1;
    if (left < 0) throw new Error('it ended with code 9');
    return structuredClone(check(tests));
  };
  return {
    check: (tests) => {
      const next = answer(tests);
      last = next;
      return next;
    },
    close: async () => undefined,
  };
}
