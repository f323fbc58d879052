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
    startedAt: isoWithOffset(facts.now),
    clock:
      gauge.startedAt === undefined
        ? 'clock of the computer'
        : `log stamped from ${gauge.startedAt}; clock of the computer at import`,
    technician: oneLine(facts.technician, '--technician'),
    workOrder: job.workOrder,
    customer: job.customer,
    cylinder: job.cylinder,
    condition: job.condition,
    received: job.received,
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
