import {
  checkedTest,
  comparableHolds,
  correctionTexts,
  cylinderHistory,
  dispositionIn,
  judgeStored,
  testChecker,
} from '../../audit/index.js';
import { findShop } from '../../bench/index.js';
import { gaugesInTest, namedFacts, type TestPlan } from '../../procedure/index.js';
import { systemOf } from '../../quality/index.js';
import { corrected, openStore, type Store, type StoredTest } from '../../record/index.js';
import { DwellmarkError, spell, type UnitSystem, unitSystems } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { paged, say, sayJson, screenWidth, spellAll } from '../output.js';
import { historyCsv, historyLines } from '../report/history-text.js';
import { recordJson, resultJson } from '../report/result-json.js';
import { resultLines, wrapped } from '../report/result-text.js';
import { traceChart } from '../report/trace-chart.js';

export interface ShowOptions extends CommonOptions {
  readonly cylinder?: string;
  readonly csv?: boolean;
}

/** `dwellmark show`: one record, whole; or everything that one cylinder was put through. */
export async function run(test: string | undefined, options: ShowOptions): Promise<void> {
  const shop = findShop(options.shop);
  if ((test === undefined) === (options.cylinder === undefined))
    throw new DwellmarkError('usage', 'show wants a test, or --cylinder SERIAL', {
      advice: '`dwellmark list` shows what there is.',
    });
  const store = openStore(shop.database, { mode: 'read' });
  try {
    await paged(() => {
      if (test !== undefined) showTest(store, test, options);
      else showCylinder(store, options.cylinder ?? '', unitSystems[shop.units], options);
    });
  } finally {
    store.close();
  }
}

function showCylinder(store: Store, serial: string, system: UnitSystem, { json, csv }: ShowOptions): void {
  const check = testChecker(store, judgeStored);
  const history = cylinderHistory(store, serial);
  for (const test of new Set(history.holds.map((hold) => hold.test))) check(test);
  if (csv) {
    process.stdout.write(historyCsv(history));
    return;
  }
  const groups = comparableHolds(history.holds);
  const trends = groups.map(({ holds: _holds, ...trend }) => trend);
  if (json) return sayJson({ ...history, trends });
  for (const line of historyLines(history, groups, system, chartWidth())) say(line);
}

const chartWidth = (): number => Math.min(100, screenWidth(process.stdout));

/** One record, whole, once it has been checked. @throws DwellmarkError (`altered`) for one that is not as it was written. */
export function showTest(store: Store, test: string, options: ShowOptions): void {
  const stored = checkedTest(store, test, judgeStored);
  const system = systemOf(stored.header);
  if (options.json) {
    const { header, result, corrections } = stored;
    const findings = spellAll(header.findings, system);
    if (result)
      return sayJson({ ...resultJson(test, result, recordJson(stored), system), header, corrections, findings });
    return sayJson({ test, verdict: null, ports: [], record: null, header, corrections, findings });
  }
  for (const line of head(stored)) say(line);
  say();
  for (const line of traceChart(store.trace(test), stored.result, system, chartWidth())) say(line);
  say();
  if (stored.result) for (const line of resultLines(stored.result, system)) say(line);
  else say('This test was never sealed: it was cut off, or is running now.');
  for (const line of tail(stored)) say(line);
}

function head(stored: StoredTest): string[] {
  const header = corrected(stored.header, stored.corrections);
  const { cylinder, plan } = header;
  const simulated = header.origin === 'simulated' ? ' (simulated gauge: no evidence about a real cylinder)' : '';
  return [
    `${header.test}  ${header.startedAt}  ${header.origin}${simulated}`,
    `${header.customer}, work order ${header.workOrder}`,
    `cylinder ${[cylinder.maker, cylinder.model, cylinder.serial].filter((text) => text !== '').join(' ')}`,
    `${plan.procedure.title}, revision ${plan.procedure.revision}${plan.procedure.asShipped ? '' : " (the shop's own text)"}; limits set by: ${plan.procedure.source}`,
    `${gaugesText(plan)}; run by ${header.technician}`,
    ...wrapped(
      namedFacts(header.facts ?? {})
        .map(([name, text]) => `${name}: ${text}`)
        .join('; '),
      0,
    ).filter((line) => line !== ''),
  ];
}

/** Every instrument that took part. */
function gaugesText(plan: TestPlan): string {
  const serials = gaugesInTest(plan).map(({ serial }) => serial);
  return serials.length > 1 ? `gauges ${serials.join(', ')}` : `gauge ${plan.gauge.serial}`;
}

function tail(stored: StoredTest): string[] {
  const system = unitSystems[stored.header.units as keyof typeof unitSystems] ?? unitSystems.bar;
  const lines = stored.header.findings.flatMap((finding) => {
    const by = finding.overruled ? ` (overruled by ${finding.overruled.by}: ${finding.overruled.why})` : '';
    return finding.grade === 'note'
      ? []
      : wrapped(`${finding.grade} before the test: ${spell(finding.text, system)}${by}`, 0);
  });
  lines.push(...stored.corrections.flatMap(correctionTexts).flatMap((text) => wrapped(text, 0)));
  if (stored.head !== null) lines.push(`record ${stored.head}, ledger line ${stored.ledger ?? 'missing'}`);
  for (const { signer, meaning, signedAt } of stored.signatures)
    lines.push(`signed by ${signer.name} (${signer.role}): ${meaning}, ${signedAt}`);
  for (const { number, voided } of stored.certificates)
    lines.push(`certificate ${number}${voided ? `, void: ${voided.reason}` : ''}`);
  for (const line of stored.acts.filter(({ kind }) => kind === 'recall disposition')) {
    const { decision, why, by, at, customerToldAt } = dispositionIn(line);
    const told = customerToldAt === undefined ? '' : `; customer told ${customerToldAt}`;
    lines.push(...wrapped(`recall of gauge ${line.subject}: ${decision}: ${why} (${by}, ${at})${told}`, 0));
  }
  if (stored.voided) lines.push(`VOID since ${stored.voided.at}: ${stored.voided.reason} (${stored.voided.by})`);
  return lines;
}
