import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import {
  createSimulatedGauge,
  type DemoScenario,
  jobText,
  procedureId,
  procedureText,
  scenarios,
} from '../../../drivers/simulated/index.js';
import { verifyStore } from '../../audit/index.js';
import { HoldRun, judgementOf, judgeStored, prepare, type Shop, testHeader } from '../../bench/index.js';
import type { TestResult } from '../../evaluation/index.js';
import { type Issued, issue, Press, signTest } from '../../quality/index.js';
import { canonicalJson, openStore, type Store } from '../../record/index.js';
import { exportRootPem } from '../../signing/index.js';
import { DwellmarkError, spell, unitSystems } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { DwellHand } from '../dwell-hand.js';
import { exitCodes } from '../exit-codes.js';
import { commandName, paint, say, sayJson } from '../output.js';
import { DemoProgress } from '../report/demo-progress.js';
import { wrapped } from '../report/result-text.js';
import { verdictWord } from '../report/verdict-words.js';
import { makeShop } from '../shop/found-shop.js';

export interface DemoOptions extends CommonOptions {
  readonly output: string;
  readonly seed: number;
}

/** The demo's own people; the passphrase is printed, because here it guards nothing. */
const inspector = { id: 'qa', name: 'Ines Okafor' } as const;
const administrator = 'Jonas Hale';
const technician = 'Marek Dunn';
const demoPassphrase = 'only for the demo shop';

interface DemoLine {
  readonly scenario: string;
  readonly test: string;
  readonly verdict: TestResult['verdict'];
  readonly paper: Issued;
  readonly replayedSame: boolean;
}

/** `dwellmark demo`: five cylinders through the whole job on the simulated bench. */
export async function run(options: DemoOptions): Promise<void> {
  const folder = path.resolve(options.output);
  const tell = options.json ? () => {} : say;
  const shop = await makeDemoShop(folder);
  tell(`${shop.name}, an invented shop, in ${folder}`);
  tell('Every reading below comes from a simulated gauge: it is no evidence about a real cylinder.');
  tell();
  const store = openStore(shop.database, { mode: 'write' });
  const lines: DemoLine[] = [];
  try {
    for (const scenario of scenarios) {
      const test = await runScenario(store, shop, scenario, options.seed, options.json === true);
      lines.push(await finishOne(store, shop, scenario, test, tell));
    }
    const report = verifyStore(store, judgeStored);
    tell(
      `Verified: ${report.counts.tests} tests, ${report.counts.readings} readings, ${report.counts.signatures} signatures, ${report.counts.ledgerLines} ledger lines; ${report.problems.length} problems.`,
    );
    if (options.json) sayJson({ folder, tests: lines, verify: report });
    else for (const line of nextLines(folder, lines)) say(line);
    if (report.problems.length > 0 || lines.some((line) => !line.replayedSame)) process.exitCode = exitCodes.altered;
  } finally {
    store.close();
  }
}

async function makeDemoShop(folder: string): Promise<Shop> {
  try {
    const facts = {
      name: 'Harrow Fell Hydraulics',
      address: '4 Sluice Lane, Harrow Fell',
      units: 'bar',
      paper: 'A4',
      series: 'HF',
    };
    const people = {
      administrator: { name: administrator, passphrase: demoPassphrase },
      inspector: { name: inspector.name, passphrase: demoPassphrase },
    };
    const shop = await makeShop(folder, facts, people);
    writeFileSync(path.join(folder, 'shop-root.pem'), exportRootPem(shop.keys));
    return shop;
  } catch (error) {
    if (error instanceof DwellmarkError && error.code === 'refused')
      throw new DwellmarkError('refused', 'the demo was run here before', {
        place: { file: folder },
        advice: 'Remove that folder, or name another with -o DIR.',
      });
    throw error;
  }
}

/** One cylinder on the simulated bench, as fast as it can be computed, through the same run as at a real one. */
async function runScenario(
  store: Store,
  shop: Shop,
  scenario: DemoScenario,
  seed: number,
  quiet: boolean,
): Promise<string> {
  const jobs = path.join(shop.folder, 'jobs');
  const templates = path.join(shop.folder, 'templates');
  for (const dir of [jobs, templates]) mkdirSync(dir, { recursive: true });
  const jobFile = path.join(jobs, `${scenario.id}.toml`);
  const today = new Date().toISOString().slice(0, 10);
  writeFileSync(jobFile, jobText(scenario, { on: today }));
  writeFileSync(path.join(templates, `${procedureId(scenario)}.toml`), procedureText(scenario));
  const prepared = prepare({ jobFile, shop, attendance: 'unattended', on: today });
  const gauge = createSimulatedGauge({
    ports: scenario.ports,
    instrument: scenario.instrument,
    seed,
    ratePerS: scenario.ratePerS,
    speed: 'as fast as possible',
  });
  const description = await gauge.open();
  const about = {
    store,
    prepared,
    shop,
    technician,
    gauge: description,
    origin: 'simulated',
    now: new Date(),
  } as const;
  const writer = store.beginNextTest((test) => testHeader({ ...about, test }));
  const progress = new DemoProgress(scenario.title, unitSystems[scenario.units], quiet);
  const hold = new HoldRun(judgementOf(store.test(writer.test).header), writer, (news) => progress.tell(news));
  const hand = new DwellHand(prepared.plan, {
    atStart: [],
    nearEnd: () => (scenario.inspected ? [{ kind: 'inspected' }] : []),
  });
  for await (const item of gauge.items()) {
    hold.take(item);
    hand.after(hold, item);
  }
  await gauge.close();
  hold.end('end of trace');
  hold.seal();
  progress.end();
  return writer.test;
}

async function finishOne(
  store: Store,
  shop: Shop,
  scenario: DemoScenario,
  test: string,
  tell: (line?: string) => void,
): Promise<DemoLine> {
  const stored = store.test(test);
  const { result } = stored;
  if (!result) throw new Error(`test ${test} was not sealed`);
  const system = unitSystems[scenario.units];
  tell(`${paint(scenario.title, 'bold')}: ${verdictWord(result.verdict)}  (${scenario.customer}, ${test})`);
  for (const port of result.ports)
    for (const line of wrapped(`port ${port.port}: ${spell(port.reason, system)}`, 2)) tell(line);
  for (const line of wrapped(`the truth in the simulation: ${scenario.truth.why}`, 2)) tell(line);
  const meaning = result.verdict === 'pass' || result.verdict === 'fail' ? 'reviewed and released' : 'rejected';
  signTest(store, shop, {
    test,
    head: stored.head,
    signer: inspector.id,
    meaning,
    remark: '',
    passphrase: demoPassphrase,
  });
  const output = path.join(shop.folder, `${scenario.id}.pdf`);
  const paper = await issue(store, new Press(shop), test, { output });
  const replayedSame = canonicalJson(judgeStored(stored.header, store.inputs(test))) === canonicalJson(result);
  tell(
    `  ${paper.number} in ${path.basename(output)}; replayed: ${replayedSame ? 'the same, to the last bit' : 'NOT the same'}`,
  );
  tell();
  return { scenario: scenario.id, test, verdict: result.verdict, paper, replayedSame };
}

function nextLines(folder: string, lines: readonly DemoLine[]): string[] {
  const shown = path.relative(process.cwd(), folder) || '.';
  const at = shown.startsWith('..') ? folder : shown;
  const failed = lines.find((line) => line.verdict === 'fail') ?? lines[0];
  const test = failed?.test ?? '';
  return [
    '',
    'What lies where:',
    `  ${at}/*.pdf            certificates and test reports`,
    `  ${at}/record.db        the record: every reading, verdict and signature`,
    `  ${at}/jobs, templates  the jobs and their procedures, to read and to change`,
    `  ${at}/shop-root.pem    the root that the PDFs' signatures lead to`,
    '',
    'What to type next:',
    `  ${commandName} list --shop ${at}`,
    `  ${commandName} show ${test} --shop ${at}`,
    `  ${commandName} replay ${test} --shop ${at}`,
    `  ${commandName} verify --all --shop ${at}`,
    `  ${commandName} verify ${at}/${failed?.scenario ?? ''}.pdf --root ${at}/shop-root.pem`,
    `The inspector "${inspector.id}" signs with the passphrase: ${demoPassphrase}`,
  ];
}
