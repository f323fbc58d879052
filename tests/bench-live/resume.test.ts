import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { verifyStore } from '../../src/audit/index.js';
import { closeCutOff, cutOffTests, HoldRun, prepare, readShop, resumeLive, testHeader } from '../../src/bench/index.js';
import { Judgement, judge } from '../../src/evaluation/index.js';
import type { PhaseName } from '../../src/holdtest/index.js';
import { openStore, type Store } from '../../src/record/index.js';
import { openQuickBench, quickGauge, writeQuickShop } from './quick-bench.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-resume-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const options = { dwellS: 10, attended: false, ports: ['A', 'B'] as const };
const shopOf = () => readShop(path.join(folder, 'dwellmark.toml'));
const writing = <T>(work: (store: Store) => T): T => {
  const store = openStore(path.join(folder, 'record.db'), { mode: 'write' });
  try {
    return work(store);
  } finally {
    store.close();
  }
};

/** Runs a test up to a phase and leaves it there, as a power cut does. */
async function cutOffIn(phase: PhaseName): Promise<string> {
  const jobFile = writeQuickShop(folder, '/dev/null', options);
  const prepared = prepare({ jobFile, shop: shopOf(), attendance: 'attended', on: '2026-03-14' });
  const store = openStore(path.join(folder, 'record.db'), { mode: 'write' });
  const test = store.nextTestId();
  const gauge = { driver: 'simulated', source: 'x', unit: 'bar', channels: { opposite: false, oil: true } };
  const now = new Date(Date.now() - 60_000);
  const header = testHeader({
    store,
    test,
    prepared,
    shop: shopOf(),
    technician: 'R. Sand',
    gauge,
    origin: 'simulated',
    now,
  });
  const hold = new HoldRun(new Judgement(prepared.plan), store.beginTest(header));
  for await (const item of quickGauge({ ...options, speed: 'as fast as possible' }).items()) {
    hold.take(item);
    if (hold.state.phase.name === 'ready') hold.act({ kind: 'continue' });
    if (hold.state.phase.name === phase) break;
  }
  hold.flush();
  store.close();
  return test;
}

describe('a test that was cut off', () => {
  it.each<[PhaseName, boolean]>([
    ['ready', true],
    ['ramp', true],
    ['stabilise', true],
    ['dwell', false],
  ])('in %s: may go on: %s', async (phase, mayGoOn) => {
    const test = await cutOffIn(phase);
    const [found, ...others] = writing(cutOffTests);
    expect(others).toEqual([]);
    expect(found).toMatchObject({ header: { test }, mayGoOn });
    expect(found?.state.phase.name).toBe(phase);
    if (!mayGoOn)
      await expect(resumeLive(test, shopOf(), { tell: () => {}, endWhenDone: true, giveUpAfterS: 5 })).rejects.toThrow(
        'was cut off in its dwell',
      );
  });

  it('is closed as interrupted: nothing of it is lost, it can never pass, and the record verifies', async () => {
    const test = await cutOffIn('dwell');
    const before = writing((store) => [...store.inputs(test)].length);
    const result = writing((store) => closeCutOff(store, shopOf(), test));
    expect(result.ports[0]?.verdict).not.toBe('pass');
    expect(result.ports[0]?.events.map(({ code }) => code)).toContain('interrupted');
    writing((store) => {
      expect([...store.inputs(test)]).toHaveLength(before + 1);
      expect(store.test(test).seal).not.toBeNull();
      expect(store.unfinished()).toEqual([]);
      expect(verifyStore(store, (header, inputs) => judge(header.plan, inputs)).problems).toEqual([]);
    });
  });

  it('goes on where it was before the dwell: one record, times that never step back, a note that says so', async () => {
    const test = await cutOffIn('ready');
    const recorded = writing((store) => [...store.trace(test)].length);
    const bench = await openQuickBench(folder, { ...options, attended: true });
    const { hold, live, seal, close } = await resumeLive(test, shopOf(), {
      tell: () => {},
      endWhenDone: true,
      giveUpAfterS: 5,
    });
    const run = live.run();
    await new Promise((go) => setTimeout(go, 700));
    live.end('stopped');
    await run;
    expect(hold.state.attemptsMade).toEqual([0, 0]);
    expect(seal()?.head).toMatch(/^[0-9a-f]{64}$/);
    close();
    await bench.close();
    writing((store) => {
      const times = [...store.trace(test)].map(({ timeUs }) => timeUs);
      expect(times.length).toBeGreaterThan(recorded);
      expect(times).toEqual(times.toSorted((a, b) => a - b));
      expect((times[recorded] ?? 0) - (times[recorded - 1] ?? 0)).toBeGreaterThan(50e6);
      const notes = [...store.inputs(test)].filter((input) => input.kind === 'operator' && input.act.kind === 'note');
      expect(notes).toHaveLength(1);
      expect(store.test(test).acts.map(({ kind }) => kind)).toContain('test resumed');
    });
  });
});
