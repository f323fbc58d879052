import {
  findShop,
  HoldRun,
  type LiveEnd,
  LiveRun,
  openLiveGauge,
  type Prepared,
  prepare,
  type RunNews,
  type Shop,
  testHeader,
} from '../../bench/index.js';
import { Judgement, type TestResult } from '../../evaluation/index.js';
import type { PortName } from '../../hydraulics/index.js';
import { commitEvery, openStore, type SealMark } from '../../record/index.js';
import { DwellmarkError, spell, type UnitSystem, unitSystems } from '../../units/index.js';
import { exitCodes, verdictExit } from '../exit-codes.js';
import { remark, say, sayJson, spellAll } from '../output.js';
import type { CommonOptions } from '../program.js';
import { resultJson } from '../report/result-json.js';
import { resultLines, wrapped } from '../report/result-text.js';
import { eventLines, statusLine } from '../screen/plain-report.js';

export interface TestOptions extends CommonOptions {
  readonly port?: PortName;
  readonly technician?: string;
  readonly overrule?: string;
  readonly unattended?: boolean;
}

/** A gauge that gives nothing for so long ends a test at which nobody stands, s. */
const giveUpAfterS = 60;

/** `dwellmark test`: a hold test at the bench. */
export async function run(job: string, options: TestOptions): Promise<void> {
  const shop = findShop(options.shop);
  if (!options.unattended)
    throw new DwellmarkError('usage', 'an attended test needs a terminal to show and ask on', {
      advice: 'Run it in a terminal, or add --unattended: then the phases follow from the readings alone.',
    });
  const prepared = prepare({
    jobFile: job,
    shop,
    attendance: 'unattended',
    on: new Date().toISOString().slice(0, 10),
    ...(options.port === undefined ? {} : { ports: [options.port] }),
  });
  const system = unitSystems[prepared.job.units ?? shop.units];
  for (const finding of prepared.findings)
    for (const line of wrapped(`${finding.grade}: ${spell(finding.text, system)}`, 0)) remark(line);
  const overruled = demandRunnable(prepared, options);
  const technician = options.technician ?? 'not stated';
  const { test, mark, result, end } = await runPlain({ prepared, shop, technician, system, overruled });
  report({ test, mark, result, end }, prepared, system, options.json === true);
}

/** @throws DwellmarkError (`refused`) when the plan says stop and nobody overrules it by name. */
function demandRunnable(
  prepared: Prepared,
  { overrule, technician }: Pick<TestOptions, 'overrule' | 'technician'>,
): { readonly by: string; readonly why: string } | null {
  const stops = prepared.findings.filter(({ grade }) => grade === 'stop');
  if (stops.length === 0) return null;
  if (overrule === undefined || overrule.trim() === '')
    throw new DwellmarkError('refused', `the plan says stop (${stops.map(({ code }) => code).join(', ')})`, {
      advice: 'Mend the job, or go on with --overrule WHY --technician NAME; both are recorded and printed.',
    });
  if (technician === undefined || technician.trim() === '')
    throw new DwellmarkError('usage', 'who overrules is not stated', { advice: 'Give it with --technician NAME.' });
  return { by: technician, why: overrule };
}

interface Outcome {
  readonly test: string;
  readonly mark: SealMark | null;
  readonly result: TestResult;
  readonly end: LiveEnd;
}

/** Runs the test with nobody to ask, one line an event and one a second on stderr. */
async function runPlain(given: {
  readonly prepared: Prepared;
  readonly shop: Shop;
  readonly technician: string;
  readonly system: UnitSystem;
  readonly overruled: { readonly by: string; readonly why: string } | null;
}): Promise<Outcome> {
  const { prepared, shop, technician, system, overruled } = given;
  const { plan } = prepared;
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const { driver, description, origin } = await openLiveGauge(prepared, shop);
    const test = store.nextTestId();
    const header = testHeader({
      test,
      prepared,
      shop,
      technician,
      gauge: description,
      origin,
      now: new Date(),
      ...(overruled ? { overruled } : {}),
    });
    const tell = (news: RunNews): void => {
      for (const line of eventLines(news, system)) remark(line);
    };
    const hold = new HoldRun(new Judgement(plan), store.beginTest(header, commitEvery.live), tell);
    const live = new LiveRun({ driver, hold, endWhenDone: true, giveUpAfterS });
    remark(`${test}: ${description.source}. Ctrl-C ends it; what was recorded stands.`);
    const status = setInterval(
      () => remark(statusLine(plan, { state: hold.state, early: hold.early() }, system)),
      1000,
    );
    const cutOff = (): void => live.end('interrupted');
    const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
    for (const signal of signals) process.on(signal, cutOff);
    process.stderr.on('error', () => {});
    try {
      const end = await live.run();
      return { test, mark: hold.seal(), result: hold.result(), end };
    } finally {
      clearInterval(status);
      for (const signal of signals) process.off(signal, cutOff);
    }
  } finally {
    store.close();
  }
}

function report(outcome: Outcome, prepared: Prepared, system: UnitSystem, json: boolean): void {
  const { test, mark, result, end } = outcome;
  if (json) {
    const record = mark
      ? { head: mark.head, ledger: mark.ledger, signatures: [], certificates: [], voided: false }
      : null;
    sayJson({ ...resultJson(test, result, record, system), findings: spellAll(prepared.findings, system) });
  } else {
    for (const line of resultLines(result, system)) say(line);
    say(`Stored as ${test}. Next: dwellmark show ${test}, dwellmark sign ${test}`);
  }
  if (end.gaugeFailure !== null)
    remark(`dwellmark: the gauge was lost: ${end.gaugeFailure}. What came before is kept.`);
  process.exitCode = end.gaugeFailure === null ? verdictExit(result.verdict) : exitCodes.gauge;
}
