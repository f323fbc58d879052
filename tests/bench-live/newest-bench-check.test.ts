import { join } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { newestBenchCheck } from '../../src/bench/bench-check.js';
import type { TestResult } from '../../src/evaluation/index.js';
import type { Store, TestHeader } from '../../src/record/index.js';
import {
  asInputs,
  newStore,
  sampleHeader,
  sampleReadings,
  sampleResult,
  scratchFolder,
} from '../record/sample-test.js';

const folder = scratchFolder();
const inputs = asInputs(sampleReadings({ seconds: 2 }));

interface Made {
  readonly on: string;
  readonly bench?: string;
  readonly subject?: 'plugged lines';
  /** m³/s; null for a check in which no leak could be read, undefined for one that was never sealed. */
  readonly leak?: number | null;
  readonly void?: true;
}

function header(test: string, { on, bench = 'bench 2', subject }: Made): TestHeader {
  const plain = sampleHeader(test, { bench, startedAt: `${on}T12:00:00.000Z` });
  const { plan } = plain;
  return subject === undefined ? plain : { ...plain, plan: { ...plan, procedure: { ...plan.procedure, subject } } };
}

/** The sample's result with this leak in its only stage. */
function leaking(leakM3PerS: number | null): TestResult {
  const result = sampleResult(inputs);
  return {
    ...result,
    ports: result.ports.map((port) => ({ ...port, stages: port.stages.map((stage) => ({ ...stage, leakM3PerS })) })),
  };
}

function storeOf(name: string, made: readonly Made[]): Store {
  const store = newStore(join(folder, `${name}.db`));
  for (const one of made) {
    const test = store.nextTestId(2026);
    const writer = store.beginTest(header(test, one));
    for (const input of inputs) writer.append(input);
    if (one.leak === undefined) writer.flush();
    else writer.finish(leaking(one.leak));
    if (one.void) store.voidTest(test, { by: 'Maria Lindqvist', reason: 'a plug wept' });
  }
  return store;
}

describe('the newest bench check', () => {
  const check = { subject: 'plugged lines' } as const;
  const store = storeOf('checks', [
    { on: '2026-01-10', ...check, leak: 1e-10 },
    { on: '2026-02-10', ...check, leak: 2e-10 },
    { on: '2026-02-20', ...check, leak: 3e-10, bench: 'bench 1' },
    { on: '2026-02-21', leak: 4e-10 },
    { on: '2026-02-22', ...check, leak: 5e-10, void: true },
    { on: '2026-02-23', ...check, leak: null },
    { on: '2026-02-24', ...check },
    { on: '2026-02-09', ...check, leak: 6e-10 },
  ]);
  const found = (bench: string, on: string, days: number) =>
    newestBenchCheck(store, bench, new Date(`${on}T08:00:00Z`), days);

  it('is sealed, stands, names a leak, and is of this bench; what started last counts, not what was written last', () => {
    expect(found('bench 2', '2026-03-01', 30)).toEqual({
      test: 'T-2026-0002',
      leakM3PerS: 2e-10,
      at: '2026-02-10T12:00:00.000Z',
    });
    expect(found('bench 1', '2026-03-01', 30)).toMatchObject({ test: 'T-2026-0003', leakM3PerS: 3e-10 });
  });

  it('is not older than so many days', () => {
    expect(found('bench 2', '2026-03-12', 30)).toMatchObject({ test: 'T-2026-0002' });
    expect(found('bench 2', '2026-03-14', 30)).toBeNull();
    expect(found('bench 3', '2026-03-01', 365)).toBeNull();
    expect(found('', '2026-03-01', 365)).toBeNull();
  });

  it('is read alone, whatever other tests came after it', () => {
    const busy = storeOf('busy', [
      { on: '2026-02-10', ...check, leak: 7e-10 },
      ...Array<Made>(20).fill({ on: '2026-02-11', leak: 1e-9 }),
    ]);
    const read = vi.spyOn(busy, 'test');
    expect(newestBenchCheck(busy, 'bench 2', new Date('2026-03-01T08:00:00Z'), 30)?.leakM3PerS).toBe(7e-10);
    expect(read.mock.calls).toEqual([['T-2026-0001']]);
    busy.close();
  });
});
