import { generateKeyPairSync, sign } from 'node:crypto';
import type { Judge } from '../../src/audit/index.js';
import type { HoldInput } from '../../src/holdtest/index.js';
import type { RecordSignature, SignatureMeaning, SignerRecord, Store, TestHeader } from '../../src/record/index.js';
import { signedBytes } from '../../src/signing/record-signature.js';
import { asInputs, newStore, sampleHeader, sampleReadings, sampleResult, writeTest } from '../record/sample-test.js';

/** The verdict of the sample results, computed from the inputs. */
export const sampleJudge: Judge = (_header, inputs) => sampleResult(inputs);

/** The same header with a calibration in force from January 2026 on. */
export const calibrated = (header: TestHeader): TestHeader => ({
  ...header,
  plan: {
    ...header.plan,
    gauge: {
      ...header.plan.gauge,
      calibration: { certificate: 'K-881', laboratory: 'Ullock Calibration', date: '2026-01-02', due: '2027-01-10' },
    },
  },
});

/** A person with a key, made for a test. */
export interface Person {
  readonly record: SignerRecord;
  readonly sign: (test: string, head: string, meaning: SignatureMeaning, signedAt?: string) => RecordSignature;
}

export function person(id: string, name: string, role: SignerRecord['role']): Person {
  const { publicKey, privateKey } = generateKeyPairSync('ed25519');
  const raw = publicKey.export({ format: 'der', type: 'spki' }).subarray(-32).toString('base64');
  const record = { id, name, role, organisation: 'Kestrel Hydraulics', publicKey: raw };
  return {
    record,
    sign: (test, head, meaning, signedAt = '2026-03-02T10:00:00+01:00') => {
      const { publicKey: _, ...signer } = record;
      const unsigned = {
        test,
        head,
        signer,
        meaning,
        remark: '',
        signedAt,
        publicKey: raw,
      };
      return { ...unsigned, value: sign(null, signedBytes(unsigned), privateKey).toString('base64') };
    },
  };
}

export const inputsWithNote = (seed: number, seconds = 20): HoldInput[] => [
  { kind: 'operator', timeUs: 0, act: { kind: 'note', text: `gland wiped dry, seed ${seed}` } },
  ...asInputs(sampleReadings({ seconds, seed })),
];

/** A small store with everything in it: two sealed tests, one signed and certified and voided, one cut off. */
export function smallStore(path: string): { store: Store; qa: Person; heads: string[] } {
  const store = newStore(path);
  const qa = person('m.lindqvist', 'Maria Lindqvist', 'qa');
  const technician = person('j.okafor', 'J. Okafor', 'technician');
  store.addSigner(qa.record);
  store.addSigner(technician.record);
  store.addGauge({ spec: sampleHeader('x').plan.gauge, driver: { driver: 'simulated' } });
  store.addCalibration(
    'SN 40117',
    { certificate: 'K-881', laboratory: 'Ullock Calibration', date: '2026-01-10', due: '2027-01-10' },
    { media: 'application/pdf', bytes: Buffer.from('%PDF-1.7 calibration K-881') },
  );
  const heads = [1, 2].map((seed) =>
    writeTest(store, sampleHeader(`T-2026-000${seed}`, { workOrder: `WO-220${seed}` }), inputsWithNote(seed)),
  );
  const [first = '', second = ''] = heads;
  store.addSignature(technician.sign('T-2026-0001', first, 'performed'));
  store.addSignature(qa.sign('T-2026-0001', first, 'reviewed and released'));
  store.addSignature(qa.sign('T-2026-0002', second, 'rejected'));
  store.issueCertificate({
    number: 'C-2026-0001',
    test: 'T-2026-0001',
    head: first,
    pdfSha256: 'ab'.repeat(32),
    issuedBy: 'Maria Lindqvist',
    ledger: store.ledgerHead(),
  });
  store.voidTest('T-2026-0002', { by: 'Maria Lindqvist', reason: 'wrong cylinder' });
  const cut = store.beginTest(sampleHeader('T-2026-0003', { origin: 'live' }));
  for (const input of inputsWithNote(3, 4)) cut.append(input);
  cut.flush();
  return { store, qa, heads };
}
