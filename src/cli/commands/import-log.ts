import path from 'node:path';
import {
  findShop,
  HoldRun,
  judgementOf,
  loadDriver,
  type Prepared,
  prepare,
  type Shop,
  sealedFor,
  testHeader,
} from '../../bench/index.js';
import { Judgement, type TestResult } from '../../evaluation/index.js';
import { type GaugeDescription, type GaugeDriver, supervised, supervisionLimits } from '../../gauge/index.js';
import type { OperatorAct } from '../../holdtest/index.js';
import { dropsToM3, type PortName } from '../../hydraulics/index.js';
import { parseCollected, type TestPlan } from '../../procedure/index.js';
import { openStore, type SealMark } from '../../record/index.js';
import { DwellmarkError, parsePressure, parseTemperature, unitSystems } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { type DwellActs, DwellHand } from '../dwell-hand.js';
import { verdictExit } from '../exit-codes.js';
import { commandName, remark, say, sayJson, spellAll } from '../output.js';
import { resultJson } from '../report/result-json.js';
import { resultLines } from '../report/result-text.js';

export interface ImportOptions extends CommonOptions {
  readonly job: string;
  readonly port?: PortName;
  readonly columns?: string;
  readonly stamp?: string;
  readonly ambient?: string;
  readonly technician: string;
  readonly procedure?: string;
  readonly store: boolean;
  readonly oilStart?: string;
  readonly oilEnd?: string;
  readonly inspected?: boolean;
  readonly collected?: readonly string[];
}

/** As the command line says it when nobody names the technician. */
const notStated = 'not stated';

/** `dwellmark import`: a hold test whose driver reads a file. */
export async function run(log: string, options: ImportOptions): Promise<void> {
  const shop = options.store || options.shop !== undefined ? findShop(options.shop) : null;
  const module = await loadDriver('log-file', null);
  const settings = logSettings(log, options);
  const { startedAt } = await described(module.create(settings));
  const prepared = prepare({
    jobFile: options.job,
    shop,
    attendance: 'unattended',
    on: (startedAt ?? new Date().toISOString()).slice(0, 10),
    ...(options.port === undefined ? {} : { ports: [options.port] }),
    ...(options.procedure === undefined ? {} : { procedure: path.resolve(options.procedure) }),
  });
  const acts = actsOf(options, prepared.plan);
  const limits = supervisionLimits({ ...prepared.gauge, mode: 'when-stable' });
  const openLog = () => supervised(module.create(settings), limits, { live: false });
  const { test, mark, result, notes } =
    options.store && shop
      ? await keep({ openLog, prepared, acts }, shop, options.technician)
      : await judgeOnly({ openLog, prepared, acts });
  const system = unitSystems[prepared.job.units ?? shop?.units ?? 'bar'];
  if (options.json) {
    const record = mark
      ? { head: mark.head, ledger: mark.ledger, signatures: [], certificates: [], voided: false }
      : null;
    sayJson({ ...resultJson(test, result, record, system), findings: spellAll(prepared.findings, system) });
  } else {
    for (const note of notes) remark(`${path.basename(log)}: ${note}`);
    for (const line of resultLines(result, system)) say(line);
    if (mark) say(`Stored as ${test}. Next: ${commandName} show ${test}, ${commandName} sign ${test}`);
  }
  process.exitCode = verdictExit(result.verdict);
}

const logSettings = (log: string, { columns, stamp, ambient }: ImportOptions) => ({
  path: log,
  ...(columns === undefined ? {} : { columns }),
  ...(stamp === undefined ? {} : { stamp }),
  ...(ambient === undefined ? {} : { ambientPa: parsePressure(ambient, { key: '--ambient' }) }),
});

/** What a log says of itself: its date decides which calibration was in force. */
async function described(driver: GaugeDriver): Promise<GaugeDescription> {
  try {
    return await driver.open();
  } finally {
    await driver.close();
  }
}

interface Kept {
  readonly test: string;
  readonly mark: SealMark | null;
  readonly result: TestResult;
  readonly notes: readonly string[];
}

/** A log with what belongs to it. A log's own gaps are judged by the phases: silence is no fault of a file. */
interface Recorded {
  readonly openLog: () => GaugeDriver;
  readonly prepared: Prepared;
  /** What a person did at the start and near the end of each dwell. */
  readonly acts: DwellActs;
}

/** Oil temperatures read by hand, and that every leak point was looked at. @throws DwellmarkError (`usage`, `input`). */
function actsOf(
  { oilStart, oilEnd, inspected, collected = [], technician }: ImportOptions,
  plan: TestPlan,
): Recorded['acts'] {
  const oil = (text: string | undefined, option: string): OperatorAct[] =>
    text === undefined ? [] : [{ kind: 'oil-temperature', oilK: parseTemperature(text, { key: option }) }];
  const byHand = inspected ? 'an inspection' : collected.length > 0 ? 'an amount of oil collected' : null;
  if (byHand !== null && technician === notStated)
    throw new DwellmarkError('usage', `${byHand} is by somebody`, {
      place: { key: inspected ? '--inspected' : '--collected' },
      advice: 'Name who looked with --technician.',
    });
  const caught = collected.map((text) => caughtOf(text, plan));
  return {
    atStart: oil(oilStart, '--oil-start'),
    nearEnd: (port) => [
      ...oil(oilEnd, '--oil-end'),
      ...caught.flatMap((one) => (one.port === undefined || one.port === port ? [one.act] : [])),
      ...(inspected ? [{ kind: 'inspected' } as const] : []),
    ],
  };
}

/** `0.4 mL in 3 min`, `A: 6 drops in 3 min`: what somebody found in the cup. @throws DwellmarkError (`usage`, `input`). */
function caughtOf(
  text: string,
  { ports, dropsPerMl }: TestPlan,
): { readonly port?: PortName; readonly act: OperatorAct } {
  const [, port, amount = text] = /^\s*([AB])\s*:\s*(.+)$/.exec(text) ?? [];
  if (port === undefined && ports.length > 1)
    throw new DwellmarkError('usage', `"${text}": at which of the ports of this job?`, {
      place: { key: '--collected' },
      advice: 'Write "A: 0.4 mL in 3 min", or import one port with --port.',
    });
  const { overS, ...read } = parseCollected(amount, { key: '--collected' });
  const volumeM3 = 'drops' in read ? dropsToM3(read.drops, dropsPerMl) : read.volumeM3;
  return {
    ...(port === undefined ? {} : { port: port === 'A' ? 'A' : 'B' }),
    act: { kind: 'collected', volumeM3, overS },
  };
}

async function judged(driver: GaugeDriver, hold: HoldRun, { acts, prepared }: Recorded): Promise<HoldRun> {
  const hand = new DwellHand(prepared.plan, acts);
  try {
    for await (const item of driver.items()) {
      hold.take(item);
      hand.after(hold, item);
    }
  } finally {
    await driver.close();
  }
  hold.end('end of trace');
  return hold;
}

/** Reads a log to its end and throws for its first bad line. */
async function readThrough(driver: GaugeDriver): Promise<void> {
  await driver.open();
  try {
    for await (const _ of driver.items());
  } finally {
    await driver.close();
  }
}

/** Judges into the store. The log is read once before anything is written, so that a bad line leaves nothing behind. */
async function keep(recorded: Recorded, shop: Shop, technician: string): Promise<Kept> {
  const { openLog, prepared } = recorded;
  await readThrough(openLog());
  const driver = openLog();
  const gauge = await driver.open();
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const about = { store, prepared, shop, technician, gauge, origin: 'imported', now: new Date() } as const;
    const writer = store.beginNextTest((test) => testHeader({ ...about, test }));
    const { test } = writer;
    const hold = await judged(driver, new HoldRun(judgementOf(store.test(test).header), writer), recorded);
    return { test, mark: sealedFor(shop, test, hold), result: hold.result(), notes: gauge.notes ?? [] };
  } finally {
    store.close();
  }
}

/** Judges and keeps nothing. */
async function judgeOnly(recorded: Recorded): Promise<Kept> {
  const driver = recorded.openLog();
  const gauge = await driver.open();
  const hold = await judged(driver, new HoldRun(new Judgement(recorded.prepared.plan), null), recorded);
  return { test: 'unstored', mark: null, result: hold.result(), notes: gauge.notes ?? [] };
}
