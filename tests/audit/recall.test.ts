import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { disposeRecall, type Judge, judgeAgain, recall } from '../../src/audit/index.js';
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

/** Passes when the pressure reached 240 bar: what a gauge that reads too much makes untrue. */
const reached: Judge = (_header, inputs) => {
  let peak = 0;
  for (const input of inputs) if (input.kind === 'reading') peak = Math.max(peak, input.reading.pressurePa ?? 0);
  return { ...sampleResult([]), verdict: peak >= 240e5 ? 'pass' : 'fail' };
};

describe('a gauge that was found out', () => {
  const store = newStore(join(scratchFolder(), 'recall.db'));
  const tests = [
    { gauge: 'SN 1', startedAt: '2026-01-05T08:00:00+01:00', startPa: 250e5 },
    { gauge: 'SN 1', startedAt: '2026-02-05T08:00:00+01:00', startPa: 241e5 },
    { gauge: 'SN 12', startedAt: '2026-02-06T08:00:00+01:00', startPa: 241e5 },
    { gauge: 'SN 1', startedAt: '2026-03-05T08:00:00+01:00', startPa: 255e5 },
    { gauge: 'SN 1', startedAt: '2026-06-05T08:00:00+02:00', startPa: 241e5 },
  ];
  for (const { gauge, startedAt, startPa } of tests) {
    const inputs = asInputs(sampleReadings({ seconds: 10, startPa }));
    writeTest(store, withGauge(sampleHeader(store.nextTestId(2026), { startedAt }), gauge), inputs);
  }
  store.issueCertificate({
    number: 'C-1',
    test: 'T-2026-0002',
    head: store.test('T-2026-0002').head ?? '',
    pdfSha256: 'ab'.repeat(32),
    issuedBy: 'M. Lindqvist',
    ledger: store.ledgerHead(),
  });
  const question = { gauge: 'SN 1', since: '2026-02-01', until: '2026-03-31' };

  it('its tests in the window are listed, and no others', () => {
    expect([...recall(store, question, null)]).toMatchObject([
      { test: 'T-2026-0002', changes: false, verdictIfTrue: null, certificates: [{ number: 'C-1', voided: false }] },
      { test: 'T-2026-0004', changes: false, certificates: [] },
    ]);
  });

  it('1 % too much turns 241 bar into 238.6 bar and its pass into a fail; 255 bar stays a pass', () => {
    const error = { fraction: 0.01, offsetPa: 0 };
    expect([...recall(store, { ...question, error }, reached)]).toMatchObject([
      { test: 'T-2026-0002', verdict: 'pass', verdictIfTrue: 'fail', changes: true },
      { test: 'T-2026-0004', verdict: 'pass', verdictIfTrue: 'pass', changes: false },
    ]);
  });

  it('an offset of 2 bar does the same; one of 0.5 bar does not', () => {
    const verdict = (offsetPa: number) =>
      [...recall(store, { ...question, error: { fraction: 0, offsetPa } }, reached)][0]?.verdictIfTrue;
    expect(verdict(2e5)).toBe('fail');
    expect(verdict(0.5e5)).toBe('pass');
  });

  it('a decision is put down with who and why, and belongs to the gauge’s own tests', () => {
    const decision = { decision: 'test again', by: 'M. Lindqvist', why: 'below target by 1.4 bar' } as const;
    disposeRecall(store, { test: 'T-2026-0002', gauge: 'SN 1' }, decision);
    expect([...recall(store, question, null)].map(({ disposition }) => disposition?.decision ?? null)).toEqual([
      'test again',
      null,
    ]);
    expect(() => disposeRecall(store, { test: 'T-2026-0003', gauge: 'SN 1' }, decision)).toThrow('was not made with');
  });

  it('a whole store judged again by another rule lists what comes out differently', () => {
    const strict: Judge = (_header, inputs) => sampleResult(inputs, 1000);
    const again = [...judgeAgain(store, strict, { gauge: 'SN 12' })];
    expect(again).toMatchObject([{ test: 'T-2026-0003', stored: 'pass', again: 'fail', identical: false }]);
    const same = [...judgeAgain(store, (_header, inputs) => sampleResult(inputs))];
    expect(same.every(({ identical }) => identical)).toBe(true);
    expect(same).toHaveLength(5);
  });
});
