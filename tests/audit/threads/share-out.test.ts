import { setImmediate } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { Findings } from '../../../src/audit/findings.js';
import type { BatchFound } from '../../../src/audit/threads/batch.js';
import type { CheckingThread } from '../../../src/audit/threads/checking-thread.js';
import { shareOut } from '../../../src/audit/threads/verify-on-all-cores.js';
import { type Behaviour, standIn } from './stand-in.js';

const tests = Array.from({ length: 1003 }, (_, index) => `T-${index}`);

/** Finds something about every test: what is told of them shows which were checked, and in which order. */
function found(batch: readonly string[]): BatchFound {
  const findings = new Findings();
  for (const test of batch) findings.problem(test, 'was looked at');
  return { report: findings.report(), judged: null };
}

interface Outcome {
  readonly told: readonly string[];
  readonly done: readonly number[];
  readonly here: number;
  readonly lost: readonly string[];
}

async function sharedOut(threads: readonly CheckingThread[], here = found): Promise<Outcome> {
  const told: string[] = [];
  const done: number[] = [];
  const lost: string[] = [];
  let checkedHere = 0;
  await shareOut(tests, {
    threads,
    here: (batch) => {
      checkedHere += batch.length;
      return here(batch);
    },
    take: ({ report }, count) => {
      told.push(...report.problems.map(({ where }) => where));
      done.push(count);
    },
    lost: (why) => lost.push(String(why)),
  });
  return { told, done, here: checkedHere, lost };
}

const several = (...behaviours: Omit<Behaviour, 'check'>[]): CheckingThread[] =>
  behaviours.map((one, index) => standIn({ check: found, seed: index + 1, ...one }));

describe('tests shared out among threads', () => {
  it.each([1, 2, 3, 8])(
    'by %i threads that answer in any order: each once, told in the order of the tests',
    async (count) => {
      const { told, done, here, lost } = await sharedOut(several(...Array.from({ length: count }, () => ({}))));
      expect(told).toEqual(tests);
      expect(done.at(-1)).toBe(tests.length);
      expect(done).toEqual(done.toSorted((a, b) => a - b));
      expect(here).toBe(0);
      expect(lost).toEqual([]);
    },
  );

  it.each([0, 1, 5, 62])('one that dies after %i batches leaves nothing unchecked', async (answers) => {
    const { told, here, lost } = await sharedOut(several({ answers }, {}));
    expect(told).toEqual(tests);
    expect(here).toBeGreaterThan(0);
    expect(lost).toEqual(['Error: it ended with code 9']);
  });

  it('all that die, at once or later, or none that ever started, leave all the rest to this thread', async () => {
    const dying = await sharedOut(several({ answers: 0 }, { answers: 3 }));
    expect(dying.told).toEqual(tests);
    expect(dying.here).toBe(tests.length - 3 * 8);
    expect(dying.lost).toHaveLength(2);
    expect(await sharedOut([])).toMatchObject({ told: tests, here: tests.length });
  });

  it('an error that comes again in this thread ends it: there is no report', async () => {
    const breaks = (batch: readonly string[]): BatchFound => {
      if (batch.includes('T-500')) throw new Error('the disk cannot be read');
      return found(batch);
    };
    const threads = [1, 2].map((seed) => standIn({ check: breaks, seed }));
    await expect(sharedOut(threads, breaks)).rejects.toThrow('the disk cannot be read');
  });

  it('while one test takes long, the others do not run far ahead of it', async () => {
    let release = (): void => undefined;
    const asked: string[] = [];
    const slow: CheckingThread = {
      check: async (batch) => {
        if (batch.includes('T-0')) await new Promise<void>((resolve) => (release = resolve));
        asked.push(...batch);
        return found(batch);
      },
      close: async () => undefined,
    };
    const many = Array.from({ length: 3000 }, (_, index) => `T-${index}`);
    const told: string[] = [];
    const all = shareOut(many, {
      threads: [slow, slow],
      here: found,
      take: ({ report }) => told.push(...report.problems.map(({ where }) => where)),
      lost: () => undefined,
    });
    for (let turn = 0; turn < 2000; turn += 1) await setImmediate();
    expect(asked.length).toBe(127 * 8);
    expect(told).toEqual([]);
    release();
    await all;
    expect(told).toEqual(many);
  });
});
