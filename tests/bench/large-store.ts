import path from 'node:path';
import { driver as logFile } from '../../drivers/log-file/index.js';
import { judgeStored } from '../../src/audit/index.js';
import { type Prepared, prepare, testHeader } from '../../src/bench/index.js';
import type { TestResult } from '../../src/evaluation/index.js';
import type { GaugeDescription } from '../../src/gauge/index.js';
import type { HoldInput } from '../../src/holdtest/index.js';
import { openStore, type Store } from '../../src/record/index.js';
import { type Person, person } from '../audit/sample-store.js';

const samples = path.join(import.meta.dirname, '../../sample-logs');
const halfHourMs = 1_800_000;
const firstMs = Date.parse('2019-01-07T06:00:00Z');
const customers = 500;
const cylinders = 20_000;
const gauges = 40;
const places = 50;
const technicians = ['J. Okafor', 'P. Brenkeld', 'S. Ruiz', 'L. Mensah', 'T. Arden', 'K. Novak'];

/** A recorded log with the job it belongs to: the tests of the large store are these, over and over. */
interface Recorded {
  readonly prepared: Prepared;
  readonly gauge: GaugeDescription;
  readonly inputs: readonly HoldInput[];
  /** What it was judged to, by the note that goes before. */
  readonly judged: Map<string, TestResult>;
}

const numbered = (prefix: string, index: number): string => `${prefix}-${String(index).padStart(6, '0')}`;

/**
 * Brings a store up to so many tests, each a whole one: read from a log, judged, sealed; half of them signed twice, most
 * of those certified, a few voided, one in ten thousand cut off. Goes on where it was left.
 */
export async function fillLargeStore(file: string, tests: number): Promise<void> {
  let atMs = firstMs;
  const store = openStore(file, { mode: 'write', now: () => new Date(atMs), monotonicMs: () => atMs - firstMs });
  try {
    const logs = [
      await recorded('tight', 'A'),
      await recorded('piston-seal', 'A'),
      await recorded('gap', 'A', 'tight'),
    ];
    const people = enrolled(store);
    for (let index = store.tests().length + 1; index <= tests; index += 1) {
      atMs = firstMs + index * halfHourMs;
      const log = logs[index % 20 === 0 ? 1 : index % 33 === 0 ? 2 : 0];
      if (log) addTest(store, log, index, atMs, people);
    }
  } finally {
    store.close();
  }
}

interface People {
  readonly technician: Person;
  readonly qa: Person;
}

/** Two people, enrolled anew each time the store is gone on with: their keys are kept nowhere. */
function enrolled(store: Store): People {
  const run = store.signers().length / 2 + 1;
  const people = {
    technician: person(`p.brenkeld.${run}`, 'P. Brenkeld', 'technician'),
    qa: person(`m.lindqvist.${run}`, 'Maria Lindqvist', 'qa'),
  };
  for (const { record } of Object.values(people)) store.addSigner(record);
  return people;
}

async function recorded(log: string, port: 'A' | 'B', job = log): Promise<Recorded> {
  const jobFile = path.join(samples, `${job}.job.toml`);
  const prepared = prepare({ jobFile, shop: null, attendance: 'unattended', on: '2026-03-02', ports: [port] });
  const driver = logFile.create({ path: path.join(samples, `${log}.csv`) });
  const gauge = await driver.open();
  const inputs: HoldInput[] = [];
  let timeUs = 0;
  for await (const item of driver.items()) {
    if (item.kind !== 'reading') continue;
    timeUs = item.reading.timeUs;
    inputs.push({ kind: 'reading', reading: item.reading });
  }
  await driver.close();
  inputs.push({ kind: 'end', timeUs, why: 'end of trace' });
  return { prepared, gauge, inputs, judged: new Map() };
}

function addTest(store: Store, log: Recorded, index: number, atMs: number, people: People): void {
  const { prepared, gauge } = log;
  const test = numbered('T-2019', index);
  const facts = { store, test, prepared, shop: null, gauge, origin: 'imported', now: new Date(atMs) } as const;
  const made = testHeader({ ...facts, technician: technicians[index % technicians.length] ?? '' });
  const header = {
    ...made,
    customer: `Press Works ${index % customers}`,
    workOrder: `WO-${index}`,
    cylinder: { ...made.cylinder, serial: `CY-${index % cylinders}` },
    plan: { ...made.plan, gauge: { ...made.plan.gauge, serial: `SN ${index % gauges}` } },
  };
  const note = `gland wiped dry, place ${index % places}`;
  const inputs: HoldInput[] = [{ kind: 'operator', timeUs: 0, act: { kind: 'note', text: note } }, ...log.inputs];
  const writer = store.beginTest(header);
  for (const input of inputs) writer.append(input);
  if (index % 10_000 === 0) return writer.flush();
  const result = log.judged.get(note) ?? judgeStored(header, inputs);
  log.judged.set(note, result);
  const { head } = writer.finish(result);
  if (index % 2 === 0) sign(store, test, head, index, people);
}

function sign(store: Store, test: string, head: string, index: number, { technician, qa }: People): void {
  store.addSignature(technician.sign(test, head, 'performed'));
  store.addSignature(qa.sign(test, head, 'reviewed and released'));
  if (index % 10 === 0) return;
  const number = numbered('C-2019', index);
  const pdfSha256 = head.split('').reverse().join('');
  store.issueCertificate({ number, test, head, pdfSha256, issuedBy: 'Maria Lindqvist', ledger: store.ledgerHead() });
  if (index % 1000 === 2) store.voidTest(test, { by: 'Maria Lindqvist', reason: 'wrong cylinder' });
}
