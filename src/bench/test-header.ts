import { evaluationVersion } from '../evaluation/index.js';
import type { GaugeDescription } from '../gauge/index.js';
import { isoWithOffset, type Store, type TestHeader } from '../record/index.js';
import { oneLine } from '../units/index.js';
import { newestBenchCheck } from './bench-check.js';
import type { Prepared } from './prepare.js';
import type { Shop } from './shop.js';
import { softwareVersion } from './version.js';

export interface HeaderFacts {
  readonly test: string;
  readonly prepared: Prepared;
  readonly shop: Shop | null;
  readonly technician: string;
  readonly gauge: GaugeDescription;
  readonly origin: TestHeader['origin'];
  readonly now: Date;
  readonly overruled?: { readonly by: string; readonly why: string };
  /** The store in which the newest bench check is looked for. */
  readonly store: Store;
}

/** What kept the time of the start; for a log also when it was imported. */
function clockOf({ origin, gauge, now }: HeaderFacts): string {
  if (origin !== 'imported') return 'clock of the computer';
  const kept = gauge.startedAt === undefined ? 'the log carries no date: that of its import' : "the log's own stamps";
  return `${kept}; imported ${isoWithOffset(now)} by the clock of the computer`;
}

/**
 * Everything as it is when the test starts: the first link of its chain.
 * @throws DwellmarkError (`usage`) for a control character in what was said by hand.
 */
export function testHeader(facts: HeaderFacts): TestHeader {
  const { prepared, shop, gauge, overruled } = facts;
  const { job, plan, findings } = prepared;
  if (overruled) oneLine(overruled.why, '--overrule');
  const ofBench = plan.procedure.subject === 'plugged lines';
  return {
    format: 'dwellmark test 1',
    test: facts.test,
    shop: { name: shop?.name ?? '', address: shop?.address ?? '' },
    bench: shop?.bench ?? '',
    startedAt: gauge.startedAt ?? isoWithOffset(facts.now),
    clock: clockOf(facts),
    technician: oneLine(facts.technician, '--technician'),
    workOrder: job.workOrder,
    customer: job.customer,
    ...(job.customerAddress === undefined ? {} : { customerAddress: job.customerAddress }),
    cylinder: job.cylinder,
    condition: job.condition,
    received: job.received,
    ...(Object.keys(job.facts).length === 0 ? {} : { facts: job.facts }),
    fluid: job.fluid,
    plan,
    findings: findings.map((finding) => (overruled && finding.grade === 'stop' ? { ...finding, overruled } : finding)),
    gauge,
    units: job.units ?? shop?.units ?? 'bar',
    jobText: prepared.jobText,
    procedureText: prepared.procedureFile.text,
    software: { version: softwareVersion, evaluation: evaluationVersion },
    origin: facts.origin,
    benchCheck:
      shop === null || ofBench ? null : newestBenchCheck(facts.store, shop.bench, facts.now, shop.benchCheckDays),
  };
}
