import type { Store } from '../../record/index.js';
import { checkTests } from '../check-tests.js';
import type { CheckReport } from '../findings.js';
import { judgeStored } from '../judge-stored.js';
import type { JudgedTally } from '../report/judged.js';
import { afterTests, beforeTests, type StoreCheck, type VerifyOptions } from '../verify.js';
import { checkBatch } from './batch.js';
import { type CheckingThread, type Threads, type ThreadTask, threadsHere } from './checking-thread.js';
import { shareOut } from './share-out.js';

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
