import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Store, TestLine } from '../../src/record/index.js';
import { person } from '../audit/sample-store.js';
import { asInputs, newStore, sampleHeader, sampleReadings, scratchFolder, writeTest } from './sample-test.js';

const folder = scratchFolder();
const by = { by: 'Maria Lindqvist', reason: 'name misspelt' };

/** A store in which much was done to some tests and nothing to others. */
function storeWithActs(): Store {
  const store = newStore(join(folder, 'acts.db'));
  const inputs = asInputs(sampleReadings({ seconds: 2 }));
  const [qa, other] = [person('m.lindqvist', 'Maria Lindqvist', 'qa'), person('j.okafor', 'J. Okafor', 'technician')];
  for (const { record } of [qa, other]) store.addSigner(record);
  const written = (changes: Parameters<typeof sampleHeader>[1]): string => {
    const test = store.nextTestId(2026);
    const head = writeTest(store, sampleHeader(test, changes), inputs);
    for (const signature of [other.sign(test, head, 'performed'), qa.sign(test, head, 'reviewed and released')])
      store.addSignature(signature);
    return test;
  };
  const certified = (test: string, number: string): void => {
    const { head } = store.test(test);
    const paper = { pdfSha256: 'cd'.repeat(32), issuedBy: 'Maria Lindqvist', ledger: store.ledgerHead() };
    store.issueCertificate({ number, test, head: head ?? '', ...paper });
  };
  const first = written({ customer: 'Kürnwater "Press" Works\\ 株式会社 🛠', workOrder: 'WO-1,\t2' });
  for (const number of ['C-2026-0009', 'C-2026-0002', 'A-1']) certified(first, number);
  store.voidCertificate('C-2026-0002', by);
  const second = written({ customer: '', startedAt: '2026-01-02T09:00:00+01:00' });
  certified(second, 'B-1');
  store.voidTest(second, { by: 'Maria Lindqvist', reason: 'wrong cylinder' });
  store.voidCertificate('B-1', by);
  writeTest(store, sampleHeader(store.nextTestId(2026), { origin: 'simulated' }), inputs);
  store.beginTest(sampleHeader(store.nextTestId(2026), { origin: 'live', startedAt: '2026-05-01T08:00:00+02:00' }));
  return store;
}

/** The same line from the whole record. */
function lineOf(store: Store, test: string): TestLine {
  const { header, head, seal, result, signatures, certificates, voided } = store.test(test);
  return {
    test,
    startedAt: header.startedAt,
    customer: header.customer,
    serial: header.cylinder.serial,
    workOrder: header.workOrder,
    gauge: header.plan.gauge.serial,
    technician: header.technician,
    procedure: header.plan.procedure.id,
    origin: header.origin,
    verdict: result?.verdict ?? null,
    head,
    readings: seal?.readings ?? null,
    signatures: signatures.length,
    certificates: certificates.flatMap((paper) => (paper.voided ? [] : [paper.number])),
    voided: voided !== null,
  };
}

describe('a list of tests', () => {
  const store = storeWithActs();
  const lines = store.tests();

  it('says of each test what its whole record says, newest first', () => {
    expect(lines.map(({ test }) => test)).toEqual(['T-2026-0004', 'T-2026-0003', 'T-2026-0001', 'T-2026-0002']);
    expect(lines).toEqual(lines.map(({ test }) => lineOf(store, test)));
  });

  it('names certificates in the order of their issue, without those that are void', () => {
    expect(lines.map(({ certificates }) => certificates)).toEqual([[], [], ['C-2026-0009', 'A-1'], []]);
    expect(lines.map(({ signatures, voided }) => [signatures, voided])).toEqual([
      [0, false],
      [0, false],
      [2, false],
      [2, true],
    ]);
  });

  it('has its fields in one order, whatever was asked: what is printed as JSON stays the same', () => {
    const names = Object.keys(lineOf(store, 'T-2026-0001'));
    const listed = [{}, { person: 'lindqvist' }, { verdict: 'unsealed' }] as const;
    const orders = listed.flatMap((filter) => store.tests(filter).map((line) => Object.keys(line)));
    expect(orders).toEqual(Array(7).fill(names));
  });
});
