import { createHash } from 'node:crypto';
import {
  createSimulatedGauge,
  type DemoScenario,
  jobText,
  procedureText,
  type SimulatedGauge,
} from '../../../drivers/simulated/index.js';
import { Judgement, type TestResult } from '../../../src/evaluation/index.js';
import { makePlan, readJob, readProcedure } from '../../../src/procedure/index.js';

/** A scenario through plan, phases and evaluation, unattended, on its readings alone. */
export async function judged(
  scenario: DemoScenario,
  seed: number,
): Promise<{ readonly result: TestResult; readonly gauge: SimulatedGauge }> {
  const job = readJob(jobText(scenario), { file: 'job.toml' });
  const text = procedureText(scenario);
  if (job.gauge.kind !== 'stated') throw new Error('a demo job states its gauge');
  const { plan } = makePlan({
    job,
    procedure: readProcedure(text, { file: 'procedure.toml' }),
    procedureSha256: createHash('sha256').update(text).digest('hex'),
    asShipped: false,
    gauge: job.gauge.spec,
    attendance: 'unattended',
  });
  const judgement = new Judgement(plan);
  const gauge = createSimulatedGauge({ ...scenario, seed, speed: 'as fast as possible' });
  await gauge.open();
  let timeUs = 0;
  for await (const item of gauge.items()) {
    if (item.kind !== 'reading') continue;
    timeUs = item.reading.timeUs;
    judgement.add(item);
  }
  judgement.add({ kind: 'end', timeUs, why: 'end of trace' });
  return { result: judgement.result(), gauge };
}
