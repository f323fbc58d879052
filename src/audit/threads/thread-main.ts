import { parentPort, workerData } from 'node:worker_threads';
import { openStore } from '../../record/index.js';
import { checkBatch } from './batch.js';
import type { Answer, Question, ThreadTask } from './checking-thread.js';

/*
 * A checking thread from its start: it answers one batch after another until it is ended from outside. An error out of
 * a batch ends it, and is told to the thread that started it.
 */
const task = workerData as ThreadTask;
const store = openStore(task.path, { mode: 'read' });
parentPort?.on('message', ({ number, tests }: Question) => {
  parentPort?.postMessage({ number, found: checkBatch(store, tests, task) } satisfies Answer);
});
