import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { auditOnAllCores, judgeStored, verifyOnAllCores, verifyStore } from '../../../src/audit/index.js';
import { checkBatch } from '../../../src/audit/threads/batch.js';
import type { CheckingThread, Threads, ThreadTask } from '../../../src/audit/threads/checking-thread.js';
import { openStore, type Store } from '../../../src/record/index.js';
import { scratchFolder } from '../../record/sample-test.js';
import { alteredStore } from './altered-store.js';
import { standIn } from './stand-in.js';

const path = join(scratchFolder(), 'altered.db');
const size = { tests: 90, seconds: 3 };
alteredStore(path, size);
const store = openStore(path, { mode: 'read' });
const opened: Store[] = [store];
afterAll(() => {
  for (const one of opened) one.close();
});

/** Threads with the store opened each for itself; every second one dies after some batches where `dying`. */
function threads(count: number, { dying = false, fewestTests = 1 } = {}): Threads {
  let started = 0;
  const start = (task: ThreadTask): CheckingThread => {
    const given = structuredClone(task);
    const own = openStore(given.path, { mode: 'read' });
    opened.push(own);
    started += 1;
    const check = (tests: readonly string[]) => checkBatch(own, tests, given);
    return standIn({ check, seed: started, ...(dying && started % 2 === 1 ? { answers: 1 } : {}) });
  };
  return { count, fewestTests, start };
}

const never: Threads['start'] = () => {
  throw new Error('no thread may be had');
};

describe('a store verified by several threads', () => {
  const alone = verifyStore(store, judgeStored);

  it('has tests of every kind of alteration', () => {
    expect(alone.problems.map(({ what }) => what).join('\n')).toMatch(
      /customer is stored.*minPa is stored.*does not fit the chain.*number of lines "test sealed".*cannot be read.*is missing/s,
    );
    expect(alone.notChecked.join('\n')).toMatch(/judged by evaluation 9.*never sealed/s);
  });

  it.each([2, 5])('by %i: the same report, line for line', async (count) => {
    expect(JSON.stringify(await verifyOnAllCores(store, {}, threads(count)))).toBe(JSON.stringify(alone));
  });

  it('some of which die: the same report, and it is told', async () => {
    const lost: string[] = [];
    const report = await verifyOnAllCores(store, { threadLost: (why) => lost.push(why) }, threads(3, { dying: true }));
    expect(report).toEqual(alone);
    expect(lost).toEqual(['it ended with code 9', 'it ended with code 9']);
  });

  it('none of which can be started: the same report, and it is told', async () => {
    const lost: string[] = [];
    const none = { count: 2, fewestTests: 1, start: never };
    expect(await verifyOnAllCores(store, { threadLost: (why) => lost.push(why) }, none)).toEqual(alone);
    expect(lost).toEqual(['no thread may be had']);
  });

  it('tells how far it is, and which test comes next', async () => {
    const told: string[] = [];
    const progress = (done: number, of: number, test: string) => told.push(`${done} of ${of} ${test}`);
    await verifyOnAllCores(store, { progress }, threads(2));
    expect(told.slice(0, 2)).toEqual(['0 of 90 T-2026-0001', '8 of 90 T-2026-0009']);
    expect(told.at(-1)).toBe('88 of 90 T-2026-0089');
  });

  it.each([
    ['few tests', { count: 2, fewestTests: size.tests + 1, start: never }],
    ['one core', { count: 1, fewestTests: 1, start: never }],
  ])('%s: no thread is started', async (_why, alike) => {
    const threadLost = () => expect.unreachable();
    expect(await verifyOnAllCores(store, { threadLost }, alike)).toEqual(alone);
  });
});

describe('a store audited by several threads', () => {
  const question = {
    shop: { name: 'Kestrel Hydraulics', address: '4 Quay Road, Millhaven' },
    version: '0.1.0',
    now: () => new Date('2026-12-01T08:00:00Z'),
  };

  it('comes to the same report, what was judged differently too', async () => {
    const alone = await auditOnAllCores(store, question, threads(1));
    expect(alone.judgedAgain.differences.length).toBeGreaterThan(0);
    const shared = await auditOnAllCores(store, question, threads(3, { dying: true }));
    expect(JSON.stringify(shared)).toBe(JSON.stringify(alone));
  });
});
