import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { isoWithOffset } from '../../../src/record/index.js';
import { pressureDifferencePa, pressurePa } from '../../../src/units/index.js';
import { person, smallStore } from '../../audit/sample-store.js';
import { asInputs, newStore, sampleHeader, sampleReadings, scratchFolder, writeTest } from '../sample-test.js';

const folder = scratchFolder();

describe('the ledger', () => {
  const { store, qa, heads } = smallStore(join(folder, 'ledger.db'));
  const [first = ''] = heads;

  it('has every act in order, by both clocks', () => {
    const lines = [...store.ledger()];
    expect(lines.map(({ position }) => position)).toEqual(lines.map((_, index) => index + 1));
    expect(lines.map(({ kind }) => kind)).toEqual([
      'store created',
      'signer enrolled',
      'signer enrolled',
      'gauge entered',
      'calibration entered',
      'test started',
      'test sealed',
      'test started',
      'test sealed',
      'signed',
      'signed',
      'signed',
      'certificate issued',
      'test voided',
      'test started',
    ]);
    expect(new Set(lines.map(({ session }) => session)).size).toBe(1);
    expect(lines.every((line, index) => index === 0 || line.monotonicMs > (lines[index - 1]?.monotonicMs ?? 0))).toBe(
      true,
    );
    expect(store.ledgerHead().position).toBe(lines.length);
  });

  it('knows people; a revoked key’s earlier signatures stand', () => {
    const other = person('k.adeyemi', 'Kemi Adeyemi', 'witness');
    store.addSigner(other.record);
    expect(() => store.addSigner(other.record)).toThrow('there is a signer "k.adeyemi" already');
    store.revokeSigner('k.adeyemi', { by: 'Maria Lindqvist', reason: 'visit over' });
    expect(() => store.revokeSigner('k.adeyemi', { by: 'x', reason: 'y' })).toThrow('was revoked on');
    expect(() => store.revokeSigner('nobody', { by: 'x', reason: 'y' })).toThrow('there is no signer "nobody"');
    expect(store.signers().map(({ id, revoked }) => [id, revoked?.reason ?? null])).toEqual([
      ['m.lindqvist', null],
      ['j.okafor', null],
      ['k.adeyemi', 'visit over'],
    ]);
    expect(store.test('T-2026-0001').signatures.map(({ meaning }) => meaning)).toEqual([
      'performed',
      'reviewed and released',
    ]);
  });

  it('takes signatures only on the sealed record as it is', () => {
    expect(() => store.addSignature(qa.sign('T-2026-0001', '0'.repeat(64), 'rejected'))).toThrow('on another record');
    expect(() => store.addSignature(qa.sign('T-2026-0003', first, 'rejected'))).toThrow('is not sealed');
  });

  it('numbers certificates by series and refuses a number used, a voided or unsealed test, a strange record', () => {
    const certificate = {
      number: 'C-2026-0002',
      test: 'T-2026-0001',
      head: first,
      pdfSha256: 'cd'.repeat(32),
      issuedBy: 'Maria Lindqvist',
      ledger: store.ledgerHead(),
      replaces: 'C-2026-0001',
      reason: 'name misspelt',
    };
    expect(store.certificateNumber('C-2026')).toBe('C-2026-0002');
    expect(store.certificateNumber('K')).toBe('K-0001');
    expect(() => store.issueCertificate({ ...certificate, number: 'C-2026-0001' })).toThrow('has been used');
    expect(() => store.issueCertificate({ ...certificate, test: 'T-2026-0002' })).toThrow('was voided: wrong cylinder');
    expect(() => store.issueCertificate({ ...certificate, test: 'T-2026-0003' })).toThrow('no trace, no certificate');
    expect(() => store.issueCertificate({ ...certificate, head: '0'.repeat(64) })).toThrow('another record');
    expect(() => store.issueCertificate({ ...certificate, replaces: 'C-1' })).toThrow('cannot replace C-1');
    store.issueCertificate(certificate);
    expect(() => store.voidCertificate('C-2026-0001', { by: 'x', reason: 'y' })).toThrow('was voided on');
    expect(() => store.voidTest('T-2026-0002', { by: 'x', reason: 'y' })).toThrow('was voided on');
    expect(store.certificates().map(({ number, voided, replacedBy }) => [number, voided?.reason, replacedBy])).toEqual([
      ['C-2026-0001', 'replaced by C-2026-0002: name misspelt', 'C-2026-0002'],
      ['C-2026-0002', undefined, null],
    ]);
    expect(store.certificateNumber('C-2026')).toBe('C-2026-0003');
  });

  it('knows gauges with every calibration, the newest one in force, and keeps the laboratory’s paper', () => {
    const calibration = {
      certificate: 'K-960',
      laboratory: 'Ullock Calibration',
      date: '2026-03-01',
      due: '2027-03-01',
      corrections: [{ atPa: pressurePa(1e7), addPa: pressureDifferencePa(-12_000) }],
    };
    store.addCalibration('SN 40117', calibration);
    expect(() => store.addCalibration('SN 9', calibration)).toThrow('there is no gauge SN 9');
    const [gauge] = store.gauges();
    expect(gauge?.spec.calibration).toEqual(calibration);
    expect(gauge?.calibrations.map(({ certificate }) => certificate)).toEqual(['K-881', 'K-960']);
    const paper = store.attachment(gauge?.calibrations[0]?.attachment ?? '');
    expect(paper?.bytes.toString()).toContain('calibration K-881');
  });
});

describe('the wall clock', () => {
  it('is put down in the test whenever it steps against the clock that never does', () => {
    let wall = Date.parse('2026-03-02T08:00:00Z');
    let monotonic = 0;
    const store = newStore(join(folder, 'clock.db'), { now: () => new Date(wall), monotonicMs: () => monotonic });
    const writer = store.beginTest(sampleHeader('T-2026-0001', { origin: 'live' }));
    for (const [index, input] of asInputs(sampleReadings({ seconds: 60 })).entries()) {
      wall += 100;
      monotonic += 100;
      if (index === 300) wall -= 3600_000;
      writer.append(input);
    }
    writer.flush();
    const marks = [...store.clockMarks('T-2026-0001')];
    expect(marks).toHaveLength(2);
    const stepMs = Date.parse(marks[1]?.at ?? '') - Date.parse(marks[0]?.at ?? '');
    expect(stepMs - ((marks[1]?.monotonicMs ?? 0) - (marks[0]?.monotonicMs ?? 0))).toBe(-3600_000);
    store.close();
  });

  it('is written with the offset in force', () => {
    const date = new Date('2026-07-01T12:34:56.789Z');
    expect(isoWithOffset(date)).toMatch(/^2026-0[67]-\d\dT\d\d:\d\d:56\.789[+-]\d\d:\d\d$/);
    expect(Date.parse(isoWithOffset(date))).toBe(date.getTime());
  });
});

describe('finding tests', () => {
  const store = newStore(join(folder, 'list.db'));
  const short = asInputs(sampleReadings({ seconds: 2 }));
  const rows = [
    {
      startedAt: '2026-01-10T08:00:00+01:00',
      customer: 'Kürnwater Press Works',
      workOrder: 'WO-1',
      technician: 'J. Okafor',
    },
    {
      startedAt: '2026-02-10T08:00:00+01:00',
      customer: 'MILLHAVEN Docks',
      workOrder: 'WO-2',
      technician: 'P. Brenkeld',
    },
    { startedAt: '2026-03-10T23:30:00Z', customer: 'Millhaven Docks', workOrder: 'WO-12', technician: 'P. Brenkeld' },
  ];
  for (const row of rows)
    writeTest(store, sampleHeader(store.nextTestId(2026), row), [
      { kind: 'operator', timeUs: 0, act: { kind: 'note', text: `Dichtung für ${row.workOrder} gewechselt` } },
      ...short,
    ]);
  const steep = asInputs(sampleReadings({ seconds: 2, dropPaPerS: 300_000 }));
  writeTest(store, sampleHeader(store.nextTestId(2026), { startedAt: '2026-04-01T08:00:00+02:00' }), steep);
  store.beginTest(sampleHeader(store.nextTestId(2026), { startedAt: '2026-05-01T08:00:00+02:00' }));
  const qa = person('m.lindqvist', 'Maria Lindqvist', 'qa');
  store.addSigner(qa.record);
  store.addSignature(qa.sign('T-2026-0002', store.test('T-2026-0002').head ?? '', 'rejected'));

  it.each([
    [{}, [5, 4, 3, 2, 1]],
    [{ order: 'oldest first', limit: 2 }, [1, 2]],
    [{ customer: 'millhaven' }, [3, 2]],
    [{ customer: 'KÜRN' }, [5, 4, 1]],
    [{ workOrder: 'wo-1' }, [3, 1]],
    [{ person: 'brenkeld' }, [3, 2]],
    [{ person: 'lindqvist' }, [2]],
    [{ person: 'm.lindqvist' }, [2]],
    [{ verdict: 'fail' }, [4]],
    [{ verdict: 'unsealed' }, [5]],
    [{ gauge: '40117', since: '2026-02-01', until: '2026-04-01' }, [4, 3, 2]],
    [{ text: 'dichtung wo-12' }, [3]],
    [{ text: 'fur gewechselt', verdict: 'pass' }, [3, 2, 1]],
    [{ text: '" OR *' }, []],
    [{ serial: "'; DROP TABLE test; --" }, []],
    [{ procedure: 'proof', customer: 'docks', verdict: 'pass', limit: 1 }, [3]],
  ] as const)('%j', (filter, expected) => {
    expect(store.tests(filter).map(({ test }) => Number(test.slice(-4)))).toEqual(expected);
  });

  it('a line says what there is to know', () => {
    expect(store.tests({ verdict: 'pass', customer: 'millhaven', until: '2026-02-28' })).toMatchObject([
      {
        test: 'T-2026-0002',
        workOrder: 'WO-2',
        verdict: 'pass',
        readings: 20,
        signatures: 1,
        certificates: [],
        voided: false,
      },
    ]);
  });

  it('a date that is none is refused', () => {
    expect(() => store.tests({ since: 'last week' })).toThrow('"last week" is no date');
  });
});
