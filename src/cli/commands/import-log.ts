import path from 'node:path';
import {
  findShop,
  HoldRun,
  judgementOf,
  loadDriver,
  type Prepared,
  prepare,
  type Shop,
  testHeader,
} from '../../bench/index.js';
import { Judgement, type TestResult } from '../../evaluation/index.js';
import { type GaugeDescription, type GaugeDriver, supervised, supervisionLimits } from '../../gauge/index.js';
import type { PortName } from '../../hydraulics/index.js';
import { openStore, type SealMark } from '../../record/index.js';
import { parsePressure, parseTemperature, type Temperature, unitSystems } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
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
}

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
  const limits = supervisionLimits({ ...prepared.gauge, mode: 'when-stable' });
  const openLog = () => supervised(module.create(settings), limits, { live: false });
  const oil = { start: typedOil(options.oilStart, '--oil-start'), end: typedOil(options.oilEnd, '--oil-end') };
  const { test, mark, result, notes } =
    options.store && shop
      ? await keep({ openLog, prepared, oil }, shop, options.technician)
      : await judgeOnly({ openLog, prepared, oil });
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
  /** Read by a person at the start and near the end of each dwell. */
  readonly oil: { readonly start: Temperature | null; readonly end: Temperature | null };
}

const typedOil = (text: string | undefined, option: string): Temperature | null =>
  text === undefined ? null : parseTemperature(text, { key: option });

async function judged(driver: GaugeDriver, hold: HoldRun, { oil, prepared }: Recorded): Promise<HoldRun> {
  let typedFor: number | null = null;
  let ended = false;
  try {
    for await (const item of driver.items()) {
      hold.take(item);
      const { phase, portIndex, stageIndex } = hold.state;
      if (phase.name !== 'dwell' || item.kind !== 'reading') continue;
      const { timeUs } = item.reading;
      if (typedFor !== phase.startUs) {
        if (oil.start !== null) hold.act({ kind: 'oil-temperature', oilK: oil.start }, timeUs);
        [typedFor, ended] = [phase.startUs, false];
      }
      const dwellS = prepared.plan.ports[portIndex]?.stages[stageIndex]?.dwellS ?? Number.POSITIVE_INFINITY;
      if (ended || oil.end === null || (timeUs - phase.startUs) / 1e6 < 0.98 * dwellS) continue;
      hold.act({ kind: 'oil-temperature', oilK: oil.end }, timeUs);
      ended = true;
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
    return { test, mark: hold.seal(), result: hold.result(), notes: gauge.notes ?? [] };
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
