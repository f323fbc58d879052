import { generateKeyPairSync, sign } from 'node:crypto';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { decideRecall, gaugeError, type Judge, recall, verifyStore } from '../../src/audit/index.js';
import { type Disposition, disposeRecall } from '../../src/audit/recall/disposition.js';
import { readTrue } from '../../src/audit/recall/gauge-error.js';
import { type StatementKind, signStatement } from '../../src/signing/index.js';
import { pressurePa } from '../../src/units/index.js';
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

  it('decisions are signed test by test; the same call again writes nothing twice and goes on where it ended', () => {
    const { publicKey, privateKey } = generateKeyPairSync('ed25519');
    const raw = publicKey.export({ format: 'der', type: 'spki' }).subarray(-32).toString('base64');
    const person = { id: 'qa', name: 'M. Lindqvist', role: 'qa', organisation: 'Kestrel', publicKey: raw } as const;
    store.addSigner(person);
    const unlocked = { signer: person, failuresBefore: 0, sign: (bytes: Uint8Array) => sign(null, bytes, privateKey) };
    const decide = (limit?: number) => {
      const lines = [...recall(store, question, null)];
      const decision = {
        gauge: 'SN 1',
        decision: 'certificate withdrawn',
        by: person.name,
        why: 'read 1 % high',
        voidCertificates: true,
        sign: (kind: StatementKind, statement: unknown) =>
          signStatement(unlocked, kind, statement, '2026-07-01T10:00:00+02:00'),
      } as const;
      return [...decideRecall(store, lines.slice(0, limit), decision)];
    };
    expect(decide(1)).toEqual([{ test: 'T-2026-0002', written: true, certificatesVoided: ['C-1'] }]);
    expect(decide()).toEqual([
      { test: 'T-2026-0002', written: false, certificatesVoided: [] },
      { test: 'T-2026-0004', written: true, certificatesVoided: [] },
    ]);
    const before = store.ledgerHead().position;
    decide();
    expect(store.ledgerHead().position).toBe(before);
    expect([...recall(store, question, null)].map(({ disposition }) => disposition?.signature?.signer.name)).toEqual([
      'M. Lindqvist',
      'M. Lindqvist',
    ]);
    expect(store.certificates()[0]?.voided?.reason).toBe('recall of gauge SN 1: read 1 % high');
    expect(verifyStore(store, null).problems).toEqual([]);
    const [line] = store.acts('recall disposition', { test: 'T-2026-0004' });
    disposeRecall(
      store,
      { test: 'T-2026-0004', gauge: 'SN 1' },
      { ...(line?.body as unknown as Disposition), decision: 'stands' },
    );
    expect(verifyStore(store, null).problems.map(({ what }) => what)).toEqual([
      'the signature of M. Lindqvist does not fit what it signs',
    ]);
  });
});

describe('how far off a gauge was', () => {
  it.each([
    ['1 %', 0.01, 0],
    ['1', 0.01, 0],
    ['-0.5 bar', 0, -50_000],
    ['1 % + 0.5 bar', 0.01, 50_000],
    ['2.5 % + -7 psi', 0.025, -48_263.3],
  ])('%s', (text, fraction, offsetPa) => {
    const error = gaugeError(text);
    expect(error.fraction).toBeCloseTo(fraction, 12);
    expect(error.offsetPa).toBeCloseTo(offsetPa, 1);
  });

  it('nonsense is refused', () => {
    expect(() => gaugeError('a bit')).toThrow('is not a pressure difference');
    expect(() => gaugeError('-100 %')).toThrow("can't read -100 % too much");
  });

  it('with two gauges only the values that the gauge gave are corrected', () => {
    const base = sampleHeader('T-1');
    const gauge = (serial: string) => ({ ...base.plan.gauge, serial });
    const port = { port: 'A', stages: [], oppositeGauge: gauge('SN 2') };
    const header = { ...base, plan: { ...base.plan, gauge: gauge('SN 1'), ports: [port] } } as unknown as typeof base;
    const [reading] = sampleReadings({ seconds: 1 });
    if (!reading) throw new Error('no reading');
    const inputs = [
      { kind: 'reading', reading: { ...reading, pressurePa: pressurePa(101e5), oppositePa: pressurePa(202e5) } },
    ] as const;
    const corrected = (serial: string) => {
      const [input] = [...readTrue(header, inputs, serial, { fraction: 0.01, offsetPa: 0 })];
      return input?.kind === 'reading' ? [input.reading.pressurePa, input.reading.oppositePa] : [];
    };
    expect(corrected('SN 1')).toEqual([100e5, 202e5]);
    expect(corrected('SN 2')).toEqual([101e5, 200e5]);
  });
});
