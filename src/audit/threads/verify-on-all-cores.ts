import { setImmediate } from 'node:timers/promises';
import type { Store } from '../../record/index.js';
import { checkTests } from '../check-tests.js';
import { judgeStored } from '../checked-test.js';
import type { CheckReport } from '../findings.js';
import type { JudgedTally } from '../report/judged.js';
import { afterTests, beforeTests, type StoreCheck, type VerifyOptions } from '../verify.js';
import { type BatchFound, checkBatch } from './batch.js';
import { type CheckingThread, type Threads, type ThreadTask, threadsHere } from './checking-thread.js';

/** Tests a batch: some 0.1 s of work, so that its way there and back is nothing beside it. */
const batchSize = 8;
/** A thread has its next batch before it has answered the last, so that it never waits for this one. */
const batchesPerThread = 2;
/** Batches handed out beyond the first that is unanswered: what is kept of them stays small. */
const mostAhead = 128;

export interface SharedWork {
  readonly threads: readonly CheckingThread[];
  /** Checks in this thread what no other answered. An error out of it ends all. */
  readonly here: (tests: readonly string[]) => BatchFound;
  /** Takes what was found of the next tests, in their order; `done` counts tests. */
  readonly take: (found: BatchFound, done: number) => void;
  /** Told once of each thread that could not go on. */
  readonly lost: (why: unknown) => void;
}

/**
 * Has tests checked by several threads and hands on what they found in the order of the tests, each test once. What a
 * thread did not answer is checked here; so is everything that is left when none goes on.
 */
export async function shareOut(tests: readonly string[], work: SharedWork): Promise<void> {
  const count = Math.ceil(tests.length / batchSize);
  const early = new Map<number, BatchFound>();
  const gone = new Set<CheckingThread>();
  let waiting: (() => void)[] = [];
  let [next, taken, failed] = [0, 0, false];

  const batch = (index: number): readonly string[] => tests.slice(index * batchSize, (index + 1) * batchSize);

  const put = (index: number, found: BatchFound): void => {
    early.set(index, found);
    for (let at = early.get(taken); at; at = early.get(taken)) {
      early.delete(taken);
      taken += 1;
      work.take(at, Math.min(taken * batchSize, tests.length));
    }
    const woken = waiting;
    waiting = [];
    for (const wake of woken) wake();
  };

  const lane = async (thread: CheckingThread): Promise<void> => {
    while (!failed && !gone.has(thread)) {
      if (next >= count) return;
      if (next - taken >= mostAhead) {
        await new Promise<void>((resolve) => waiting.push(resolve));
        continue;
      }
      const index = next;
      next += 1;
      const found = await thread.check(batch(index)).catch((why: unknown) => {
        if (!gone.has(thread) && !failed) work.lost(why);
        gone.add(thread);
        return null;
      });
      if (failed) return;
      put(index, found ?? work.here(batch(index)));
    }
  };

  const lanes = Array.from({ length: batchesPerThread }, () => work.threads).flat();
  try {
    await Promise.all(lanes.map(lane));
  } catch (error) {
    failed = true;
    throw error;
  }
  while (next < count) {
    next += 1;
    put(next - 1, work.here(batch(next - 1)));
    await setImmediate(); // A signal or a progress line must get through.
  }
  if (taken !== count) throw new Error(`${count - taken} of ${count} batches of tests were not checked`);
}

export interface AllCoresOptions extends VerifyOptions {
  /** Told why a thread could not go on; what it had to check is checked without it. */
  readonly threadLost?: (why: string) => void;
}

/**
 * Checks what `verifyStore` checks, judged again by this program's own judge, and comes to the same report line for
 * line; the tests of a large store are shared out among threads, one a core.
 */
export function verifyOnAllCores(
  store: Store,
  options: AllCoresOptions = {},
  threads: Threads = threadsHere(),
): Promise<CheckReport> {
  return verifyTallied(store, null, options, threads);
}

/** The same, counting what the judge comes to where there is a tally (made for `judgeStored`). */
export async function verifyTallied(
  store: Store,
  tally: JudgedTally | null,
  options: AllCoresOptions,
  threads: Threads,
): Promise<CheckReport> {
  const begun = beforeTests(store, options);
  const { names, signers, findings } = begun;
  const { progress } = options;
  const judge = tally?.judge ?? judgeStored;
  if (judge === judgeStored && threads.count > 1 && names.length >= threads.fewestTests)
    await shared(store, tally, begun, options, threads);
  else checkTests(store, names, { signers, judge, progress }, findings);
  return afterTests(store, judge, begun);
}

async function shared(
  store: Store,
  tally: JudgedTally | null,
  { names, signers, findings }: StoreCheck,
  { progress, threadLost }: AllCoresOptions,
  { count, start }: Threads,
): Promise<void> {
  const task: ThreadTask = { path: store.path, signers, tallied: tally !== null };
  const tell = (done: number): void => progress?.(done, names.length, names[done] ?? '');
  const lost = (why: unknown): void => threadLost?.(why instanceof Error ? why.message : String(why));
  const threads: CheckingThread[] = [];
  try {
    try {
      while (threads.length < count) threads.push(start(task));
    } catch (why) {
      lost(why);
    }
    tell(0);
    await shareOut(names, {
      threads,
      here: (tests) => checkBatch(store, tests, task),
      take: ({ report, judged }, done) => {
        findings.add(report);
        if (judged) tally?.add(judged);
        if (done < names.length) tell(done);
      },
      lost,
    });
  } finally {
    await Promise.all(threads.map((thread) => thread.close()));
  }
}
