import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { disposeRecall } from '../../src/audit/recall/disposition.js';
import { suspicions } from '../../src/audit/suspicions/index.js';
import { isoWithOffset, type Store } from '../../src/record/index.js';
import {
  asInputs,
  newStore,
  sampleHeader,
  sampleReadings,
  sampleResult,
  scratchFolder,
  withGauge,
  writeTest,
} from '../record/sample-test.js';
import { plantForgeries } from './forgeries.js';
import { calibrated } from './sample-store.js';

const folder = scratchFolder();

describe('what does not look right', () => {
  it('twenty forgeries among 110 tests: each is found, hardly an honest test is flagged', () => {
    const planted = plantForgeries(join(folder, 'forged.db'), { tests: 110, seconds: 100 });
    const found = suspicions(planted.store);
    planted.store.close();
    const missed = planted.forgeries.filter(
      ({ kinds, test }) => !found.some((one) => kinds.includes(one.kind) && one.tests.includes(test)),
    );
    expect(planted.forgeries).toHaveLength(20);
    expect(missed).toEqual([]);
    const innocent = found.flatMap(({ tests }) => tests).filter((test) => !planted.involved.has(test));
    expect(new Set(innocent).size, innocent.join(', ')).toBeLessThanOrEqual(2);
  });

  it('two tests on one gauge at one time, and more in a shift than a person can run', () => {
    const store = newStore(join(folder, 'times.db'), { now: () => new Date('2026-03-02T08:00:00Z') });
    const start = Date.parse('2026-03-02T06:00:00Z');
    for (let index = 0; index < 24; index += 1) {
      const startedAt = isoWithOffset(new Date(start + index * 15 * 60_000));
      live(store, index, startedAt, `SN ${index}`);
    }
    live(store, 24, isoWithOffset(new Date(start + 30_000)), 'SN 0');
    const found = suspicions(store).filter(({ kind }) => kind.startsWith('too many') || kind.startsWith('overlap'));
    expect(found.map(({ kind, tests }) => [kind, tests.length, tests[0]])).toEqual([
      ['overlap on one gauge', 2, 'T-2026-0001'],
      ['too many in a shift', 25, 'T-2026-0001'],
    ]);
    expect(suspicions(store, { credible: { testsAShift: 30 } }).some(({ kind }) => kind.startsWith('too many'))).toBe(
      false,
    );
    store.close();
  });

  it('a hole that nobody put down; one with a fault in it is none', () => {
    const store = newStore(join(folder, 'gaps.db'));
    const readings = sampleReadings({ seconds: 40 });
    const holed = [...readings.slice(0, 100), ...readings.slice(200)];
    writeTest(store, sampleHeader('T-2026-0001'), asInputs(holed));
    const fault = { timeUs: 12e6, code: 'silent', text: 'nothing', effect: 'void' } as const;
    writeTest(store, sampleHeader('T-2026-0002'), [
      ...asInputs(sampleReadings({ seconds: 40, seed: 9 }).slice(0, 100)).slice(0, -1),
      { kind: 'fault', fault },
      ...asInputs(sampleReadings({ seconds: 40, seed: 9 }).slice(200)),
    ]);
    const gaps = suspicions(store).filter(({ kind }) => kind === 'gap');
    expect(gaps).toMatchObject([{ tests: ['T-2026-0001'], evidence: { seconds: 10.1, fromUs: 9_900_000 } }]);
    store.close();
  });

  it('one file under two numbers, and a certificate withdrawn on paper only', () => {
    const store = newStore(join(folder, 'papers.db'));
    const head = writeTest(store, calibrated(sampleHeader('T-2026-0001')), asInputs(sampleReadings({ seconds: 5 })));
    const certificate = {
      test: 'T-2026-0001',
      head,
      pdfSha256: 'ab'.repeat(32),
      issuedBy: 'x',
      ledger: store.ledgerHead(),
    };
    store.issueCertificate({ ...certificate, number: 'C-1' });
    store.issueCertificate({ ...certificate, number: 'C-2' });
    store.voidCertificate('C-1', { by: 'x', reason: 'double' });
    disposeRecall(
      store,
      { test: 'T-2026-0001', gauge: 'SN 40117' },
      { decision: 'certificate withdrawn', by: 'x', why: 'gauge 3 % off' },
    );
    expect(suspicions(store).map(({ kind, text }) => [kind, text])).toEqual([
      ['one file under two numbers', 'one and the same file was issued as C-1 and C-2'],
      ['withdrawn but not voided', 'certificate C-2 is down as withdrawn in a recall and was never voided'],
    ]);
    store.close();
  });

  it('the same simulation run twice is no forgery; the same trace from a gauge is', () => {
    const store = newStore(join(folder, 'seeds.db'));
    const inputs = asInputs(sampleReadings({ seconds: 30 }));
    for (const origin of ['simulated', 'simulated', 'imported', 'imported'] as const)
      writeTest(store, calibrated(sampleHeader(store.nextTestId(2026), { origin })), inputs);
    expect(suspicions(store).map(({ kind, tests }) => [kind, tests])).toEqual([
      ['same trace', ['T-2026-0003', 'T-2026-0004']],
    ]);
    store.close();
  });
});

function live(store: Store, index: number, startedAt: string, gauge: string): void {
  const test = store.nextTestId(2026);
  const header = calibrated(withGauge(sampleHeader(test, { origin: 'live', startedAt }), gauge));
  const writer = store.beginTest(header, { seconds: 1000, readings: 10_000, chunk: 10_000, actsAtOnce: false });
  const inputs = asInputs(sampleReadings({ seconds: 60, seed: index + 1 }));
  for (const input of inputs) writer.append(input);
  writer.finish(sampleResult(inputs));
}
