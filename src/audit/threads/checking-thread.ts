import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import type { BatchFound, BatchTask } from './batch.js';

/** What a thread must know to check tests of a store. */
export interface ThreadTask extends BatchTask {
  /** File of the store; the thread opens it for itself, to read. */
  readonly path: string;
}

/** A thread beside this one that checks tests. It may be asked again before it has answered. */
export interface CheckingThread {
  /** Rejects when the thread did not start or has ended: of these tests nothing is known then. */
  check(tests: readonly string[]): Promise<BatchFound>;
  close(): Promise<void>;
}

/** Where checking threads come from. */
export interface Threads {
  readonly count: number;
  /** Tests of a store below which no thread is worth its start. */
  readonly fewestTests: number;
  readonly start: (task: ThreadTask) => CheckingThread;
}

export interface Question {
  readonly number: number;
  readonly tests: readonly string[];
}

export interface Answer {
  readonly number: number;
  readonly found: BatchFound;
}

/** More read from one file at a time than they gain. */
const mostThreads = 8;

const threadFile = (): URL => new URL('./thread-main.js', import.meta.url);

/** A thread a core, and two on one core. One in all where the program runs from its TypeScript sources, which a thread can't load. */
export function threadsHere(): Threads {
  const built = existsSync(fileURLToPath(threadFile()));
  return {
    count: built ? Math.min(Math.max(2, availableParallelism()), mostThreads) : 1,
    fewestTests: 200,
    start: startThread,
  };
}

interface Waiting {
  readonly resolve: (found: BatchFound) => void;
  readonly reject: (why: Error) => void;
}

function startThread(task: ThreadTask): CheckingThread {
  const worker = new Worker(threadFile(), { workerData: task });
  const waiting = new Map<number, Waiting>();
  let asked = 0;
  let ended: Error | null = null;
  const end = (why: Error): void => {
    ended ??= why;
    for (const { reject } of waiting.values()) reject(ended);
    waiting.clear();
  };
  worker.on('message', ({ number, found }: Answer) => {
    waiting.get(number)?.resolve(found);
    waiting.delete(number);
  });
  worker.on('error', end);
  worker.on('messageerror', end);
  worker.on('exit', (code) => end(new Error(`it ended with code ${code}`)));
  return {
    check: (tests) =>
      new Promise((resolve, reject) => {
        if (ended) return reject(ended);
        asked += 1;
        waiting.set(asked, { resolve, reject });
        worker.postMessage({ number: asked, tests } satisfies Question);
      }),
    close: async () => void (await worker.terminate()),
  };
}
