import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { suspicions } from '../../src/audit/suspicions/index.js';
import {
  asInputs,
  newStore,
  sampleHeader,
  sampleReadings,
  sampleResult,
  scratchFolder,
  writeTest,
} from '../record/sample-test.js';
import { calibrated } from './sample-store.js';

const store = newStore(join(scratchFolder(), 'doubts.db'));
afterAll(() => store.close());

const header = (startedAt: string) => calibrated(sampleHeader(store.nextTestId(2026), { startedAt }));
const inputs = (seed: number) => asInputs(sampleReadings({ seconds: 5, seed }));
const with3 = (startedAt: string, calibration: { certificate?: string; date?: string; due?: string } | null) => {
  const base = header(startedAt);
  const { calibration: usual, ...gauge } = base.plan.gauge;
  const own = calibration === null || !usual ? {} : { calibration: { ...usual, ...calibration } };
  return { ...base, plan: { ...base.plan, gauge: { ...gauge, ...own } } };
};

describe('calibrations and papers that do not look right', () => {
  store.addGauge({ spec: sampleHeader('x').plan.gauge, driver: {} });
  store.addCalibration('SN 40117', {
    certificate: 'K-881',
    laboratory: 'Ullock Calibration',
    date: '2026-01-02',
    due: '2027-01-10',
  });
  writeTest(store, header('2026-02-01T09:00:00+01:00'), inputs(1));
  writeTest(store, with3('2026-02-02T09:00:00+01:00', null), inputs(2));
  writeTest(store, with3('2026-02-03T09:00:00+01:00', null), inputs(3));
  writeTest(store, with3('2026-02-04T09:00:00+01:00', { due: '2026-02-03' }), inputs(4));
  writeTest(store, with3('2026-02-05T09:00:00+01:00', { date: '2026-02-06' }), inputs(5));
  writeTest(store, with3('2026-02-06T09:00:00+01:00', { certificate: 'K-700', date: '2025-01-02' }), inputs(6));
  const found = suspicions(store);

  it.each([
    [
      'no calibration',
      ['T-2026-0002', 'T-2026-0003'],
      'is in 2 tests from 2026-02-02 to 2026-02-03 with no calibration stated',
    ],
    ['calibration overdue', ['T-2026-0004'], 'which was due on 2026-02-03'],
    ['calibration after the test', ['T-2026-0005'], 'which was made on 2026-02-06'],
    ['another calibration than in force', ['T-2026-0006'], 'K-881 of 2026-01-02 was in force (ledger line 3)'],
  ])('%s', (kind, tests, says) => {
    const [one, ...more] = found.filter((suspicion) => suspicion.kind === kind);
    expect(more).toEqual([]);
    expect(one?.tests).toEqual(tests);
    expect(one?.text).toContain(says);
  });

  it('a test with the calibration in force is not doubted', () => {
    expect(found.flatMap(({ tests }) => tests)).not.toContain('T-2026-0001');
  });

  it('a certificate that went out unsigned, and one that stands on a void test', () => {
    const head = store.test('T-2026-0001').head ?? '';
    const ledger = store.ledgerHead();
    store.issueCertificate({
      number: 'C-1',
      test: 'T-2026-0001',
      head,
      pdfSha256: 'ab'.repeat(32),
      issuedBy: 'x',
      ledger,
    });
    const credible = { testsAShift: 20, required: ['reviewed and released'] } as const;
    expect(suspicions(store, { credible }).find(({ kind }) => kind === 'certificate unsigned')?.text).toBe(
      'certificate C-1 of T-2026-0001 went out without the signature "reviewed and released"',
    );
    expect(suspicions(store).some(({ kind }) => kind === 'certificate unsigned')).toBe(false);
    store.voidTest('T-2026-0001', { by: 'x', reason: 'wrong cylinder' });
    expect(suspicions(store).find(({ kind }) => kind === 'certificate on a void test')).toMatchObject({
      tests: ['T-2026-0001'],
      evidence: { number: 'C-1' },
    });
  });
});

describe('clocks and tests left open', () => {
  it('a wall clock set within a test is found beside its readings; a test begun and never sealed, half a day later', () => {
    let [wallMs, monotonicMs] = [Date.parse('2026-03-02T08:00:00Z'), 1000];
    const path = join(scratchFolder(), 'clocks.db');
    const own = newStore(path, { now: () => new Date(wallMs), monotonicMs: () => monotonicMs });
    const pass = (ms: number): void => {
      wallMs += ms;
      monotonicMs += ms;
    };
    own.beginTest(calibrated(sampleHeader('T-2026-0001', { origin: 'live' })));
    const writer = own.beginTest(calibrated(sampleHeader('T-2026-0002', { origin: 'live' })));
    const readings = sampleReadings({ seconds: 30 });
    for (const [index, reading] of readings.entries()) {
      if (index === 100) wallMs -= 3600_000;
      if (index === 200) wallMs += 3600_000;
      pass(100);
      writer.append({ kind: 'reading', reading });
    }
    writer.finish(sampleResult(asInputs(readings)));
    const kinds = () => suspicions(own).map(({ kind, tests }) => [kind, ...tests]);
    expect(kinds().filter(([kind]) => kind === 'clock step' || kind === 'never sealed')).toEqual([
      ['clock step', 'T-2026-0002'],
      ['clock step', 'T-2026-0002'],
    ]);
    pass(13 * 3600_000);
    own.act('backup made', {});
    expect(kinds()).toContainEqual(['never sealed', 'T-2026-0001']);
    own.close();
  });
});
